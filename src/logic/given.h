/* given.h - an expression where one of its parts is known. */
#ifndef KEEPCLEAR_LOGIC_GIVEN_H
#define KEEPCLEAR_LOGIC_GIVEN_H

#include "logic/flat.h"

struct flat_builder;

/* What expr is where the node `part` has that value. */
flat_expr given_value(struct flat_builder *builder, flat_expr expr,
                      flat_expr part, int64_t value);

/* The same as expr, split by `test`, a comparison of something with a
 * constant for equality: where it holds, that thing is the constant.  expr
 * itself where this would not read fewer cells, or test is no such
 * comparison. */
flat_expr given_split(struct flat_builder *builder, flat_expr expr,
                      flat_expr test);

/* The same, split by a condition of any kind: where it holds, each part of
 * which it is an AND is known, and the thing of each comparison for
 * equality among them is its constant. */
flat_expr given_condition(struct flat_builder *builder, flat_expr expr,
                          flat_expr condition);

#endif
