#include "engine/sets/bits.h"

#include "base/arena.h"

static struct bits make(struct calculator c, uint32_t n)
{
    return (struct bits){n, arena_array(c.arena, n, sizeof(set))};
}

static set bit(struct bits a, uint32_t i)
{
    if (a.n == 0)
        return SET_NONE;
    return a.at[i < a.n ? i : a.n - 1];
}

static set negation(struct calculator c, set a)
{
    return room_apply(c.room, ROOM_XOR, a, SET_ALL);
}

static uint32_t wider(struct bits a, struct bits b)
{
    return a.n > b.n ? a.n : b.n;
}

uint32_t bits_width(int64_t low, int64_t high)
{
    uint64_t magnitude = low < 0 ? ~(uint64_t)low : 0;

    if (high > 0)
        magnitude |= (uint64_t)high;
    if (magnitude == 0)
        return low < 0 ? 1 : 0;
    return 65 - (uint32_t)__builtin_clzll(magnitude);
}

struct bits bits_constant(struct calculator c, int64_t value)
{
    struct bits made = make(c, bits_width(value, value));

    for (uint32_t i = 0; i < made.n; i++)
        made.at[i] = (uint64_t)value >> i & 1 ? SET_ALL : SET_NONE;
    return made;
}

struct bits bits_resize(struct calculator c, struct bits a, uint32_t n)
{
    struct bits made = make(c, n);

    for (uint32_t i = 0; i < n; i++)
        made.at[i] = bit(a, i);
    return made;
}

struct bits bits_drop(struct calculator c, struct bits a, uint32_t n)
{
    struct bits made = make(c, n < a.n ? a.n - n : a.n > 0);

    for (uint32_t i = 0; i < made.n; i++)
        made.at[i] = bit(a, i + n);
    return made;
}

struct bits bits_meet(struct calculator c, struct bits a, struct bits b)
{
    struct bits made = make(c, wider(a, b));

    for (uint32_t i = 0; i < made.n; i++)
        made.at[i] = room_apply(c.room, ROOM_AND, bit(a, i), bit(b, i));
    return made;
}

/* a + b, or a + not b, with a carry into the lowest place. */
static struct bits sum(struct calculator c, struct bits a, struct bits b,
                       bool minus, uint32_t n)
{
    struct bits made = make(c, n);
    set carry = minus ? SET_ALL : SET_NONE;

    for (uint32_t i = 0; i < n; i++) {
        set x = bit(a, i), y = bit(b, i), differ;

        if (minus)
            y = negation(c, y);
        differ = room_apply(c.room, ROOM_XOR, x, y);
        made.at[i] = room_apply(c.room, ROOM_XOR, differ, carry);
        carry = room_choose(c.room, differ, carry, x);
    }
    return made;
}

struct bits bits_add(struct calculator c, struct bits a, struct bits b,
                     uint32_t n)
{
    return sum(c, a, b, false, n);
}

struct bits bits_subtract(struct calculator c, struct bits a, struct bits b,
                          uint32_t n)
{
    return sum(c, a, b, true, n);
}

struct bits bits_choose(struct calculator c, set condition, struct bits yes,
                        struct bits no)
{
    struct bits made = make(c, wider(yes, no));

    for (uint32_t i = 0; i < made.n; i++)
        made.at[i] =
            room_choose(c.room, condition, bit(yes, i), bit(no, i));
    return made;
}

static struct bits shifted(struct calculator c, struct bits a,
                           uint32_t places, uint32_t n)
{
    struct bits made = make(c, n);

    for (uint32_t i = 0; i < n; i++)
        made.at[i] = i < places ? SET_NONE : bit(a, i - places);
    return made;
}

/* Modulo two to the n, the higher bits of b do not count. */
struct bits bits_multiply(struct calculator c, struct bits a, struct bits b,
                          uint32_t n)
{
    struct bits made = bits_resize(c, (struct bits){0}, n);

    for (uint32_t i = 0; i < n; i++) {
        struct bits more;

        if (bit(b, i) == SET_NONE)
            continue;
        more = sum(c, made, shifted(c, a, i, n), false, n);
        made = bits_choose(c, bit(b, i), more, made);
    }
    return made;
}

set bits_equal(struct calculator c, struct bits a, struct bits b)
{
    set all = SET_ALL;

    for (uint32_t i = wider(a, b); i-- > 0;) {
        set same = room_apply(c.room, ROOM_SAME, bit(a, i), bit(b, i));

        all = room_apply(c.room, ROOM_AND, all, same);
    }
    return all;
}

/* From the lowest place on: the highest that differs decides; the sign says
 * the opposite of the others. */
set bits_less(struct calculator c, struct bits a, struct bits b)
{
    uint32_t n = wider(a, b);
    set less = SET_NONE;

    for (uint32_t i = 0; i < n; i++) {
        set x = bit(a, i), y = bit(b, i);
        set differ = room_apply(c.room, ROOM_XOR, x, y);

        less = room_choose(c.room, differ, i + 1 < n ? y : x, less);
    }
    return less;
}

/* ---- division ---- */

static struct bits negated_if(struct calculator c, set condition,
                              struct bits a)
{
    struct bits minus = bits_subtract(c, (struct bits){0}, a, a.n);

    return bits_choose(c, condition, minus, a);
}

/* As on paper, from the highest place down; neither is negative. */
static struct bits divide_magnitudes(struct calculator c, struct bits a,
                                     struct bits b, struct bits *rest)
{
    struct bits made = make(c, a.n);

    *rest = bits_resize(c, (struct bits){0}, a.n);
    for (uint32_t i = a.n; i-- > 0;) {
        set fits;

        *rest = shifted(c, *rest, 1, a.n);
        rest->at[0] = a.at[i];
        fits = negation(c, bits_less(c, *rest, b));
        made.at[i] = fits;
        *rest = bits_choose(c, fits, bits_subtract(c, *rest, b, a.n),
                            *rest);
    }
    return made;
}

struct bits bits_divide(struct calculator c, struct bits a, struct bits b,
                        struct bits *rest)
{
    uint32_t n = wider(a, b) + 2; /* room for the sign of what is shifted */
    set minus_a = a.n ? a.at[a.n - 1] : SET_NONE;
    set minus_b = b.n ? b.at[b.n - 1] : SET_NONE;
    set by_zero = bits_equal(c, b, (struct bits){0});
    set minus = room_apply(c.room, ROOM_XOR, minus_a, minus_b);
    struct bits made;

    a = negated_if(c, minus_a, bits_resize(c, a, n));
    b = negated_if(c, minus_b, bits_resize(c, b, n));
    made = divide_magnitudes(c, a, b, rest);
    *rest = negated_if(c, minus_a, *rest);
    *rest = bits_choose(c, by_zero, (struct bits){0}, *rest);
    made = negated_if(c, minus, made);
    return bits_choose(c, by_zero, (struct bits){0}, made);
}
