#include "engine/sets/number.h"

#include "base/arena.h"

enum { WIDE = 66 }; /* differences of 64-bit numbers, with their sign */

static int64_t divisor(int64_t a, int64_t b)
{
    while (b != 0) {
        int64_t rest = a % b;

        a = b;
        b = rest;
    }
    return a;
}

static int64_t floor_of(int64_t a, int64_t b)
{
    return a / b - (a % b < 0);
}

struct number number_constant(int64_t value)
{
    return (struct number){value, 0, {0}, {value, value}};
}

struct number number_truth(struct calculator c, set truth)
{
    struct number made = {0, 1, {2, NULL}, {0, 1}};

    if (truth == SET_NONE || truth == SET_ALL)
        return number_constant(truth == SET_ALL);
    made.bits.at = arena_array(c.arena, 2, sizeof(set));
    made.bits.at[0] = truth;
    made.bits.at[1] = SET_NONE;
    return made;
}

/* factor * a, wide enough for every value; factor >= 0. */
static struct bits scaled(struct calculator c, struct bits a, int64_t factor)
{
    if (factor == 1 || a.n == 0)
        return a;
    return bits_multiply(c, a, bits_constant(c, factor),
                         a.n + bits_width(0, factor));
}

/* more + factor * a, wide enough. */
static struct bits moved(struct calculator c, struct bits a, int64_t factor,
                         int64_t more)
{
    struct bits b = bits_constant(c, more);
    uint32_t n;

    a = scaled(c, a, factor);
    n = (a.n > b.n ? a.n : b.n) + 1;
    return more == 0 ? a : bits_add(c, a, b, n);
}

static struct bits plain(struct calculator c, const struct number *a)
{
    struct bits all = moved(c, a->bits, a->unit, a->base);

    return bits_resize(c, all, bits_width(a->range.low, a->range.high));
}

static struct number from_plain(struct calculator c, struct bits bits,
                                struct range range)
{
    uint32_t n = bits_width(range.low, range.high);

    return (struct number){0, n ? 1 : 0, bits_resize(c, bits, n), range};
}

/* With base and unit known, only as many bits as the range needs. */
static struct number fitted(struct calculator c, struct number made)
{
    int64_t low, high;

    if (made.unit == 0 || made.bits.n == 0)
        return number_constant(made.base);
    if (__builtin_sub_overflow(made.range.low, made.base, &low) ||
        __builtin_sub_overflow(made.range.high, made.base, &high))
        return made;
    low = floor_of(low, made.unit);
    high = floor_of(high, made.unit);
    made.bits = bits_resize(c, made.bits, bits_width(low, high));
    if (made.bits.n == 0)
        return number_constant(made.base);
    return made;
}

/* ---- tables ---- */

static set table_bit(struct calculator c, struct bits index,
                     const uint64_t *values, uint32_t count, uint32_t bit)
{
    uint32_t half;

    if (count == 1 || index.n == 0)
        return values[0] >> bit & 1 ? SET_ALL : SET_NONE;
    index.n--;
    half = UINT32_C(1) << index.n;
    if (count <= half)
        return table_bit(c, index, values, count, bit);
    return room_choose(
        c.room, index.at[index.n],
        table_bit(c, index, values + half, count - half, bit),
        table_bit(c, index, values, half, bit));
}

/* Steps above the smallest value; all are exact multiples. */
static struct bits table_bits(struct calculator c, struct bits index,
                              const uint64_t *steps, uint32_t count)
{
    struct bits made;
    uint64_t most = 0;

    for (uint32_t i = 0; i < count; i++)
        most = steps[i] > most ? steps[i] : most;
    made.n = most ? 65 - (uint32_t)__builtin_clzll(most) : 0;
    made.at = arena_array(c.arena, made.n, sizeof *made.at);
    for (uint32_t k = 0; k + 1 < made.n; k++)
        made.at[k] = table_bit(c, index, steps, count, k);
    if (made.n)
        made.at[made.n - 1] = SET_NONE;
    return made;
}

static uint64_t common(uint64_t a, uint64_t b)
{
    while (b != 0) {
        uint64_t rest = a % b;

        a = b;
        b = rest;
    }
    return a;
}

struct number number_of_table(struct calculator c, struct bits index,
                              const int64_t *values, uint32_t count)
{
    struct number made = {values[0], 0, {0}, {values[0], values[0]}};
    uint64_t *steps = arena_array(c.arena, count, sizeof *steps), unit = 0;

    for (uint32_t i = 1; i < count; i++) {
        if (values[i] < made.range.low)
            made.range.low = values[i];
        if (values[i] > made.range.high)
            made.range.high = values[i];
    }
    made.base = made.range.low;
    for (uint32_t i = 0; i < count; i++) {
        steps[i] = (uint64_t)values[i] - (uint64_t)made.base;
        unit = common(unit, steps[i]);
    }
    if (unit == 0)
        return made;
    if (unit > INT64_MAX)
        unit = 1;
    for (uint32_t i = 0; i < count; i++)
        steps[i] /= unit;
    made.unit = (int64_t)unit;
    made.bits = table_bits(c, index, steps, count);
    return made;
}

/* ---- arithmetic ---- */

static bool sums_stay(enum flat_op op, struct range a, struct range b)
{
    int64_t out;

    if (op == FLAT_ADD)
        return !__builtin_add_overflow(a.low, b.low, &out) &&
               !__builtin_add_overflow(a.high, b.high, &out);
    return !__builtin_sub_overflow(a.low, b.high, &out) &&
           !__builtin_sub_overflow(a.high, b.low, &out);
}

static struct number add(struct calculator c, enum flat_op op,
                         const struct number *a, const struct number *b,
                         struct range range)
{
    bool minus = op == FLAT_SUB;
    struct number made = {0, divisor(a->unit, b->unit), {0}, range};
    struct bits x = a->bits, y = b->bits;
    uint32_t n;

    if (!sums_stay(op, a->range, b->range) ||
        (minus ? __builtin_sub_overflow(a->base, b->base, &made.base)
               : __builtin_add_overflow(a->base, b->base, &made.base))) {
        x = plain(c, a);
        y = plain(c, b);
        n = bits_width(range.low, range.high);
        return from_plain(c, minus ? bits_subtract(c, x, y, n)
                                   : bits_add(c, x, y, n),
                          range);
    }
    if (made.unit == 0)
        return number_constant(made.base);
    x = scaled(c, x, a->unit / made.unit);
    y = scaled(c, y, b->unit / made.unit);
    n = (x.n > y.n ? x.n : y.n) + 1;
    made.bits =
        minus ? bits_subtract(c, x, y, n) : bits_add(c, x, y, n);
    return fitted(c, made);
}

static bool product_stays(struct range a, int64_t factor)
{
    int64_t out;

    return !__builtin_mul_overflow(a.low, factor, &out) &&
           !__builtin_mul_overflow(a.high, factor, &out);
}

static struct number multiply(struct calculator c, const struct number *a,
                              const struct number *b, struct range range)
{
    struct number made = {0, 0, {0}, range};

    if (a->unit == 0 && b->unit != 0)
        return multiply(c, b, a, range);
    if (b->unit == 0 && b->base >= 0 && product_stays(a->range, b->base) &&
        !__builtin_mul_overflow(a->base, b->base, &made.base) &&
        !__builtin_mul_overflow(a->unit, b->base, &made.unit)) {
        made.bits = a->bits;
        return fitted(c, made);
    }
    return from_plain(c,
                      bits_multiply(c, plain(c, a), plain(c, b),
                                    bits_width(range.low, range.high)),
                      range);
}

/* A constant power of two. */
static bool is_power(const struct number *a)
{
    return a->unit == 0 && a->base > 0 && (a->base & (a->base - 1)) == 0;
}

static struct number divide(struct calculator c, enum flat_op op,
                            const struct number *a, const struct number *b,
                            struct range range)
{
    struct number made = {0, 0, {0}, range};
    struct bits whole, rest;

    if (b->unit == 0 && b->base > 0 && a->unit % b->base == 0 &&
        a->base % b->base == 0) {
        if (op == FLAT_MOD)
            return number_constant(0);
        made.base = a->base / b->base;
        made.unit = a->unit / b->base;
        made.bits = a->bits;
        return fitted(c, made);
    }
    if (a->range.low >= 0 && is_power(b))
        return from_plain(c,
                          op == FLAT_DIV
                              ? bits_drop(c, plain(c, a),
                                          (uint32_t)__builtin_ctzll(
                                              (uint64_t)b->base))
                              : bits_meet(c, plain(c, a),
                                          bits_constant(c, b->base - 1)),
                          range);
    whole = bits_divide(c, plain(c, a), plain(c, b), &rest);
    return from_plain(c, op == FLAT_DIV ? whole : rest, range);
}

struct number number_arithmetic(struct calculator c, enum flat_op op,
                                const struct number *a,
                                const struct number *b, struct range range)
{
    if (op == FLAT_MUL)
        return multiply(c, a, b, range);
    if (op == FLAT_DIV || op == FLAT_MOD)
        return divide(c, op, a, b, range);
    if (op == FLAT_MEET)
        return from_plain(c, bits_meet(c, plain(c, a), plain(c, b)), range);
    return add(c, op, a, b, range);
}

/* From the smaller base up, so that a choice of two constants is one bit. */
struct number number_choose(struct calculator c, set condition,
                            const struct number *yes,
                            const struct number *no, struct range range)
{
    struct number made = {0, 0, {0}, range};
    int64_t gap;
    bool swap = yes->base > no->base;
    const struct number *low = swap ? no : yes, *high = swap ? yes : no;
    struct bits x, y;

    if (condition == SET_ALL || condition == SET_NONE)
        return condition == SET_ALL ? *yes : *no;
    if (__builtin_sub_overflow(high->base, low->base, &gap))
        return from_plain(
            c, bits_choose(c, condition, plain(c, yes), plain(c, no)),
            range);
    made.base = low->base;
    made.unit = divisor(divisor(low->unit, high->unit), gap);
    if (made.unit == 0)
        return number_constant(made.base);
    x = scaled(c, low->bits, low->unit / made.unit);
    y = moved(c, high->bits, high->unit / made.unit, gap / made.unit);
    made.bits = bits_choose(c, condition, swap ? y : x, swap ? x : y);
    return fitted(c, made);
}

/* ---- relations ---- */

static set compare(struct calculator c, enum flat_op op, struct bits a,
                   struct bits b)
{
    if (op == FLAT_EQ)
        return bits_equal(c, a, b);
    if (op == FLAT_LT)
        return bits_less(c, a, b);
    return room_apply(c.room, ROOM_XOR, bits_less(c, b, a), SET_ALL);
}

/* a < b means unit * x < unit * y + rest, with 0 <= rest < unit. */
set number_relation(struct calculator c, enum flat_op op,
                    const struct number *a, const struct number *b)
{
    int64_t unit = divisor(a->unit, b->unit), gap, rest;
    struct bits x, y;

    if (unit == 0)
        return (op == FLAT_EQ   ? a->base == b->base
                : op == FLAT_LT ? a->base < b->base
                                : a->base <= b->base)
                   ? SET_ALL
                   : SET_NONE;
    if (__builtin_sub_overflow(b->base, a->base, &gap))
        return compare(c, op, plain(c, a), plain(c, b));
    rest = gap % unit + (gap % unit < 0 ? unit : 0);
    if (rest > 0 && op == FLAT_EQ)
        return SET_NONE;
    x = scaled(c, a->bits, a->unit / unit);
    y = moved(c, b->bits, b->unit / unit, floor_of(gap, unit));
    return compare(c, rest > 0 ? FLAT_LE : op, x, y);
}

set number_is_true(struct calculator c, const struct number *a)
{
    struct number zero = number_constant(0);
    set is_zero;

    if (a->base == 0 && a->bits.n == 2 && a->bits.at[1] == SET_NONE)
        return a->bits.at[0];
    is_zero = number_relation(c, FLAT_EQ, a, &zero);
    return room_apply(c.room, ROOM_XOR, is_zero, SET_ALL);
}

/* ---- into a cell ---- */

struct bits number_units(struct calculator c, const struct number *a,
                         struct range cell, int64_t unit, set *fits)
{
    struct number low = number_constant(cell.low);
    struct number high = number_constant(cell.high);
    set below = number_relation(c, FLAT_LT, a, &low);
    set above = number_relation(c, FLAT_LT, &high, a);
    uint64_t most = ((uint64_t)cell.high - (uint64_t)cell.low) /
                    (uint64_t)unit;
    struct bits units, rest = {0}, top, wide;
    int64_t gap;

    if (!__builtin_sub_overflow(a->base, cell.low, &gap) &&
        a->unit % unit == 0 && gap % unit == 0) {
        units = moved(c, a->bits, a->unit / unit, gap / unit);
    } else {
        wide = bits_subtract(c, plain(c, a), bits_constant(c, cell.low),
                             WIDE);
        units = bits_divide(c, wide, bits_constant(c, unit), &rest);
    }
    *fits = bits_equal(c, rest, (struct bits){0});
    *fits = room_apply(c.room, ROOM_WITHOUT, *fits, below);
    *fits = room_apply(c.room, ROOM_WITHOUT, *fits, above);
    top = bits_resize(c, bits_constant(c, (int64_t)most), WIDE);
    top.at[WIDE - 1] = top.at[WIDE - 2] = SET_NONE;
    units = bits_choose(c, above, top, units);
    return bits_choose(c, below, (struct bits){0}, units);
}
