/* build_intended.h - constructor of the lines of INTENDED. */
#ifndef KEEPCLEAR_LANG_BUILD_INTENDED_H
#define KEEPCLEAR_LANG_BUILD_INTENDED_H

#include "lang/build_parts.h"

struct reading;

/* Adds a line to the review. */
void build_intended(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct build_differing what,
                    struct span span);

#endif
