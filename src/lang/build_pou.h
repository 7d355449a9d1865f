/* build_pou.h - a POU, from its parts. */
#ifndef KEEPCLEAR_LANG_BUILD_POU_H
#define KEEPCLEAR_LANG_BUILD_POU_H

#include "lang/build_parts.h"

struct reading;

void build_pou(struct reading *reading, enum tree_pou_kind kind,
               struct tree_ident *name, struct build_parts parts,
               struct span span);

#endif
