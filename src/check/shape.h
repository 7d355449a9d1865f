/* shape.h - types that are made of others: arrays and structures. */
#ifndef KEEPCLEAR_CHECK_SHAPE_H
#define KEEPCLEAR_CHECK_SHAPE_H

#include "check/draft.h"

/* What is written, without a name; constants come from scope (NULL allowed)
 * and the globals.  NULL when a mistake was reported. */
const struct type *shape_array(struct draft *draft, const struct scope *scope,
                               const struct tree_type *tree);
const struct type *shape_structure(struct draft *draft,
                                   const struct scope *scope,
                                   const struct tree_type *tree);

/* Numbers the items of a new enumeration as they are written, as values of
 * base (NULL: any whole number). */
bool shape_numbers(struct draft *draft, const struct type *base,
                   const struct tree_enum_item *items, struct type *type);

/* The item of an enumeration with that number; false when there is none. */
bool shape_numbered(const struct type *type, int64_t number, int64_t *item);

/* "ARRAY [1..4, 0..2] OF INT" for one without a name; in the arena. */
const char *shape_words(const struct draft *draft, const struct type *type);

#endif
