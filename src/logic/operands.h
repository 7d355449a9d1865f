/* operands.h - which of a node's a, b and c are expressions. */
#ifndef KEEPCLEAR_LOGIC_OPERANDS_H
#define KEEPCLEAR_LOGIC_OPERANDS_H

#include "logic/flat.h"

/* How many of a, b, c, in this order, a node of that kind reads: 0 to 3. */
uint32_t operands_count(enum flat_op op);

/* Fills in those that a node reads; gives back how many. */
uint32_t operands_of(const struct flat_node *node, flat_expr operand[3]);

#endif
