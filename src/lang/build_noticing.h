/* build_noticing.h - constructors of the section NOTICING. */
#ifndef KEEPCLEAR_LANG_BUILD_NOTICING_H
#define KEEPCLEAR_LANG_BUILD_NOTICING_H

#include "lang/review.h"

struct reading;

enum build_notice { BUILD_DIAGNOSTIC, BUILD_DEMAND, BUILD_CYCLE,
                    BUILD_REPAIR };

/* A line of it; what was said before is reported at where. */
void build_notice(struct reading *reading, enum build_notice which,
                  struct tree_expr *condition, struct span where);

/* Behind its lines; a second section is reported. */
void build_noticing(struct reading *reading, struct span span);

#endif
