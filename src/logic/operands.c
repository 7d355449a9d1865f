#include "logic/operands.h"

uint32_t operands_count(enum flat_op op)
{
    switch (op) {
    case FLAT_CONST:
    case FLAT_CELL:
    case FLAT_CHOICE:
    case FLAT_HOLE:
        return 0;
    case FLAT_NOT:
        return 1;
    case FLAT_ITE:
        return 3;
    default:
        return 2;
    }
}

uint32_t operands_of(const struct flat_node *node, flat_expr operand[3])
{
    operand[0] = node->a;
    operand[1] = node->b;
    operand[2] = node->c;
    return operands_count(node->op);
}
