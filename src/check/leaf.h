/* leaf.h - names in expressions: which leaf each becomes, and whether the
 * text may read it. */
#ifndef KEEPCLEAR_CHECK_LEAF_H
#define KEEPCLEAR_CHECK_LEAF_H

#include "check/env.h"

/* TREE_REF, TREE_ITEM, TREE_PRESSED, TREE_READ, TREE_COMMANDED; NULL when a
 * mistake was reported. */
struct code_expr *leaf_check(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted);

/* Is this slot of a control variable an input that READ may name? */
bool leaf_is_input(const struct draft *draft, uint32_t slot);

#endif
