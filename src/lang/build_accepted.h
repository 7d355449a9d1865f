/* build_accepted.h - constructor of the lines of ACCEPTED. */
#ifndef KEEPCLEAR_LANG_BUILD_ACCEPTED_H
#define KEEPCLEAR_LANG_BUILD_ACCEPTED_H

#include "lang/build_parts.h"

struct reading;

/* Adds a line to the review. */
void build_accepted(struct reading *reading, struct tree_ident *kind,
                    struct tree_path *path, struct build_why why);

#endif
