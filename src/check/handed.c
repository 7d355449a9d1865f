#include "check/handed.h"

bool handed_keeps(const struct code_expr *expr)
{
    const struct type *from = expr->left->type, *to = expr->type;
    bool bits = from->kind == TYPE_BITS || to->kind == TYPE_BITS;

    if (from->kind == TYPE_ENUM || to->kind == TYPE_ENUM)
        return false;
    /* a ULINT may have bit 63, though it is not followed so far */
    if (bits && from->kind == TYPE_INTEGER && type_width(to) == 64)
        return from->low >= 0 && from->high < INT64_MAX;
    return !bits || (from->low >= 0 && from->high <= to->high);
}

bool handed_duration(const struct code_pou *callee, uint32_t parameter)
{
    if (callee->standard >= STANDARD_CTU &&
        callee->standard <= STANDARD_CTUD)
        return parameter == COUNTER_PV;
    return callee->standard >= STANDARD_TON &&
           callee->standard <= STANDARD_TP && parameter == TIMER_PT;
}

enum code_op handed_mirrored(enum code_op op)
{
    switch (op) {
    case CODE_LT: return CODE_GT;
    case CODE_LE: return CODE_GE;
    case CODE_GT: return CODE_LT;
    case CODE_GE: return CODE_LE;
    default: return op;
    }
}
