/* build_spelled.h - signs and words that some exports write and that say
 * nothing: counted as spellings.
 */
#ifndef KEEPCLEAR_LANG_BUILD_SPELLED_H
#define KEEPCLEAR_LANG_BUILD_SPELLED_H

#include "lang/tree.h"

struct reading;

/* A `;` that ends nothing. */
void build_idle(struct reading *reading, struct span where);
/* A `,` behind the last of a list. */
void build_comma(struct reading *reading, struct span where);
/* ELSE: */
void build_else_colon(struct reading *reading, struct span where);
/* `name :=` or `name =>` in a call: no argument at all, NULL. */
struct tree_arg *build_no_arg(struct reading *reading, struct span where);
/* An argument without a name, which does not stand behind one of those. */
struct tree_arg *build_bare_arg(struct reading *reading,
                                struct tree_expr *value, struct span where);
/* `target += value`, and with another sign. */
struct tree_stmt *build_counting(struct reading *reading,
                                 struct tree_path *target, enum tree_op op,
                                 struct tree_expr *value,
                                 struct span where);
/* The type that a function gives; NULL for VOID. */
struct tree_type *build_result(struct reading *reading,
                               struct tree_type *type);

#endif
