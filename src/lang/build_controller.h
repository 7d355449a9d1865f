/* build_controller.h - constructors of the section CONTROLLER; what they make
 * is added to the review of the run. */
#ifndef KEEPCLEAR_LANG_BUILD_CONTROLLER_H
#define KEEPCLEAR_LANG_BUILD_CONTROLLER_H

#include "lang/build_parts.h"

struct reading;

void build_setting(struct reading *reading, struct tree_ident *name,
                   struct build_said said, struct span span);

/* Behind its settings; a second section is reported. */
void build_controller(struct reading *reading, struct tree_string title,
                      struct span span);

#endif
