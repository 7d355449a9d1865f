#include "logic/range.h"

#include "logic/apply.h"

static const struct range everything = {INT64_MIN, INT64_MAX};

static int64_t smaller(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static int64_t larger(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

struct range range_join(struct range a, struct range b)
{
    return (struct range){smaller(a.low, b.low), larger(a.high, b.high)};
}

bool range_meet(struct range a, struct range b, struct range *result)
{
    struct range common = {larger(a.low, b.low), smaller(a.high, b.high)};

    if (common.low > common.high)
        return false;
    *result = common;
    return true;
}

static struct range truth(bool may_fail, bool may_hold)
{
    return (struct range){may_fail ? 0 : 1, may_hold ? 1 : 0};
}

static bool may_fail(struct range a)
{
    return a.low <= 0 && a.high >= 0;
}

static bool may_hold(struct range a)
{
    return a.low != 0 || a.high != 0;
}

static struct range range_logic(enum flat_op op, struct range a,
                                struct range b)
{
    bool a0 = may_fail(a), a1 = may_hold(a);
    bool b0 = may_fail(b), b1 = may_hold(b);

    switch (op) {
    case FLAT_NOT:
        return truth(a1, a0);
    case FLAT_AND:
        return truth(a0 || b0, a1 && b1);
    case FLAT_OR:
        return truth(a0 && b0, a1 || b1);
    default:
        return truth((a0 && b0) || (a1 && b1), (a0 && b1) || (a1 && b0));
    }
}

static struct range range_compare(enum flat_op op, struct range a,
                                  struct range b)
{
    bool single = a.low == a.high && b.low == b.high;

    switch (op) {
    case FLAT_EQ:
        return truth(!single || a.low != b.low,
                     a.low <= b.high && b.low <= a.high);
    case FLAT_LT:
        return truth(a.high >= b.low, a.low < b.high);
    default:
        return truth(a.high > b.low, a.low <= b.high);
    }
}

static struct range range_add(struct range a, struct range b)
{
    struct range sum;

    if (__builtin_add_overflow(a.low, b.low, &sum.low) ||
        __builtin_add_overflow(a.high, b.high, &sum.high))
        return everything;
    return sum;
}

static struct range range_sub(struct range a, struct range b)
{
    struct range difference;

    if (__builtin_sub_overflow(a.low, b.high, &difference.low) ||
        __builtin_sub_overflow(a.high, b.low, &difference.high))
        return everything;
    return difference;
}

static struct range range_mul(struct range a, struct range b)
{
    const int64_t left[2] = {a.low, a.high}, right[2] = {b.low, b.high};
    struct range product = {INT64_MAX, INT64_MIN};

    for (int i = 0; i < 4; i++) {
        int64_t corner;

        if (__builtin_mul_overflow(left[i / 2], right[i % 2], &corner))
            return everything;
        product.low = smaller(product.low, corner);
        product.high = larger(product.high, corner);
    }
    return product;
}

/* The largest distance from zero; false when 64 bits do not hold it. */
static bool span_of(struct range a, int64_t *span)
{
    if (a.low == INT64_MIN)
        return false;
    *span = larger(larger(a.high, -a.high), larger(a.low, -a.low));
    return true;
}

static struct range range_div(struct range a, struct range b)
{
    int64_t span;

    if (!span_of(a, &span))
        return everything;
    if (b.low == b.high) {
        struct range ends = {flat_apply(FLAT_DIV, a.low, b.low, 0),
                             flat_apply(FLAT_DIV, a.high, b.low, 0)};

        return (struct range){smaller(ends.low, ends.high),
                              larger(ends.low, ends.high)};
    }
    if (a.low >= 0 && b.low >= 1)
        return (struct range){a.low / b.high, a.high / b.low};
    return (struct range){a.low >= 0 && b.low >= 0 ? 0 : -span, span};
}

/* The sign is that of the dividend. */
static struct range range_mod(struct range a, struct range b)
{
    int64_t most = INT64_MAX, span;

    if (span_of(b, &span))
        most = span > 0 ? span - 1 : 0;
    return (struct range){
        a.low >= 0 ? 0 : larger(a.low, -most),
        a.high <= 0 ? 0 : smaller(a.high, most)};
}

static struct range range_meet_bits(struct range a, struct range b)
{
    if (a.low < 0 && b.low < 0)
        return everything;
    if (a.low < 0 || b.low < 0)
        return (struct range){0, a.low < 0 ? b.high : a.high};
    return (struct range){0, smaller(a.high, b.high)};
}

static struct range range_ite(struct range a, struct range b, struct range c)
{
    if (!may_fail(a))
        return b;
    return may_hold(a) ? range_join(b, c) : c;
}

struct range range_of(enum flat_op op, struct range a, struct range b,
                      struct range c)
{
    switch (op) {
    case FLAT_NOT: case FLAT_AND: case FLAT_OR: case FLAT_XOR:
        return range_logic(op, a, b);
    case FLAT_EQ: case FLAT_LT: case FLAT_LE:
        return range_compare(op, a, b);
    case FLAT_ADD:
        return range_add(a, b);
    case FLAT_SUB:
        return range_sub(a, b);
    case FLAT_MUL:
        return range_mul(a, b);
    case FLAT_DIV:
        return range_div(a, b);
    case FLAT_MOD:
        return range_mod(a, b);
    case FLAT_MEET:
        return range_meet_bits(a, b);
    case FLAT_ITE:
        return range_ite(a, b, c);
    default:
        return everything;
    }
}
