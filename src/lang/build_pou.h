/* build_pou.h - a POU, from its parts. */
#ifndef KEEPCLEAR_LANG_BUILD_POU_H
#define KEEPCLEAR_LANG_BUILD_POU_H

#include "lang/build_parts.h"

struct reading;

/* body: of tree_stmt. */
struct tree_action *build_action(struct reading *reading,
                                 struct tree_ident *name, struct chain body);

void build_pou(struct reading *reading, enum tree_pou_kind kind,
               struct tree_ident *name, struct build_parts parts,
               struct span span);

#endif
