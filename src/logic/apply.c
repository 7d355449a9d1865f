#include "logic/apply.h"

#include "base/ensure.h"

static int64_t negated(int64_t a)
{
    return (int64_t)(0 - (uint64_t)a);
}

/* The smallest number divided by -1 does not fit: it wraps as well. */
static int64_t quotient(int64_t a, int64_t b)
{
    if (b == 0)
        return 0;
    return b == -1 ? negated(a) : a / b;
}

static int64_t remainder_of(int64_t a, int64_t b)
{
    return b == 0 || b == -1 ? 0 : a % b;
}

static int64_t arithmetic(enum flat_op op, int64_t a, int64_t b)
{
    switch (op) {
    case FLAT_ADD:
        return (int64_t)((uint64_t)a + (uint64_t)b);
    case FLAT_SUB:
        return (int64_t)((uint64_t)a - (uint64_t)b);
    case FLAT_MUL:
        return (int64_t)((uint64_t)a * (uint64_t)b);
    case FLAT_DIV:
        return quotient(a, b);
    case FLAT_MOD:
        return remainder_of(a, b);
    case FLAT_MEET:
        return a & b;
    default:
        base_fail(BASE_INTERNAL_ERROR, "an operator without a meaning",
                  __FILE__, __LINE__);
    }
}

int64_t flat_apply(enum flat_op op, int64_t a, int64_t b, int64_t c)
{
    switch (op) {
    case FLAT_NOT:
        return a == 0;
    case FLAT_AND:
        return a != 0 && b != 0;
    case FLAT_OR:
        return a != 0 || b != 0;
    case FLAT_XOR:
        return (a != 0) != (b != 0);
    case FLAT_EQ:
        return a == b;
    case FLAT_LT:
        return a < b;
    case FLAT_LE:
        return a <= b;
    case FLAT_ITE:
        return a != 0 ? b : c;
    default:
        return arithmetic(op, a, b);
    }
}
