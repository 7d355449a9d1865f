#include "engine/tiles/compact.h"

#include <stdlib.h>
#include <string.h>

#include "base/ensure.h"
#include "base/vec.h"
#include "engine/tiles/mix.h"

/* Lines of 64 bytes; there are eighths << power of them (8 <= eighths < 16),
 * so a mixed key m of b bits belongs to line m * eighths >> (b - power).
 * Keys of one line are neighbours: the first is
 * ceil((line << (b - power)) / eighths), and less than 2^(b - power - 3)
 * follow.  A slot holds how far a key is from the first of its line and, below
 * that, in how many lines behind its own it lies, + 1; 0: empty.  Where a
 * line is full, the key nearest to its own line goes on to the next: keys lie
 * in order of their lines, and none is far from its own. */
enum {
    LINE_BYTES = 64,
    LEAST_BITS = 16,
    FIRST_POWER = 4,
    SPARE = 64,         /* lines behind the last: no key begins there */
    MOST_AWAY_BITS = 6, /* bits for lines behind its own, + 1 */
    LEAST_AWAY_BITS = 4,
    HEAD = 1024,        /* lines that are taken out before others spread */
    CHUNK_SHIFT = 15,   /* lines of a chunk as a power of two: 2 MiB */
    CHUNK = 1 << CHUNK_SHIFT
};

struct shape {
    bool wide; /* 8 bytes a slot */
    uint32_t eighths, power, low_bits; /* low_bits: bits - power */
    uint32_t away_bits;
    uint64_t away_mask, part; /* part: 2^64 / eighths, rounded up */
    uint64_t n_lines, slots_in_all;
};

struct compact {
    struct budget *budget;
    struct mix mix;
    struct shape shape;
    VEC(char *) chunks; /* one of `first` lines, or whole ones */
    uint64_t first;
    uint64_t count, limit; /* limit: grows at so many keys */
    bool broken;
};

/* ---- where keys belong ---- */

static struct shape shape_of(uint32_t bits, uint32_t eighths, uint32_t power,
                             bool wide)
{
    uint32_t width = wide ? 64 : 32;
    uint32_t rest = bits > power + 3 ? bits - power - 3 : 0;
    struct shape s = {.wide = wide, .eighths = eighths, .power = power};

    ENSURE(bits > power);
    s.low_bits = bits - power;
    s.away_bits = width > rest ? width - rest : 0;
    if (s.away_bits > MOST_AWAY_BITS)
        s.away_bits = MOST_AWAY_BITS;
    s.away_mask = ((uint64_t)1 << s.away_bits) - 1;
    s.part = UINT64_MAX / eighths + 1;
    s.n_lines = (uint64_t)eighths << power;
    s.slots_in_all = s.n_lines * (wide ? 8 : 16);
    return s;
}

/* The line of a mixed key, and how far it is from the first of that line.
 * Bits within a line are few enough (low_bits <= 60) for a multiplication to
 * divide by eighths exactly. */
static inline uint64_t line_of(const struct shape *s, uint64_t mixed,
                               uint64_t *rest)
{
    unsigned __int128 at = (unsigned __int128)mixed * s->eighths;
    uint64_t low = (uint64_t)at & (((uint64_t)1 << s->low_bits) - 1);

    *rest = (uint64_t)((unsigned __int128)low * s->part >> 64);
    return (uint64_t)(at >> s->low_bits);
}

static uint64_t first_of(const struct shape *s, uint64_t line)
{
    uint64_t whole = line / s->eighths, more = line % s->eighths;

    return (whole << s->low_bits) +
           ((more << s->low_bits) + s->eighths - 1) / s->eighths;
}

static uint64_t mixed_of(const struct shape *s, uint64_t line, uint64_t slot)
{
    uint64_t away = (slot & s->away_mask) - 1;

    return first_of(s, line - away) + (slot >> s->away_bits);
}

/* ---- lines ---- */

static inline char *line_at(const struct compact *c, uint64_t line)
{
    return c->chunks.at[line >> CHUNK_SHIFT] +
           (line & (CHUNK - 1)) * LINE_BYTES;
}

static uint64_t slot_at(const void *line, uint32_t i, bool wide)
{
    return wide ? ((const uint64_t *)line)[i] : ((const uint32_t *)line)[i];
}

enum put { PUT_NEW, PUT_KNOWN, PUT_NO_ROOM };

/* While keys move, from the last lines to the first: how many slots are in use
 * in the lines from `low` on, as many as a key may reach.  None is known. */
enum { WINDOW = 256 };

struct window {
    uint64_t low;
    uint8_t used[WINDOW];
};

/* Puts slots from `line` on, until one comes to an empty place; a line fills
 * from its first slot on.  No jumps inside of a line: they could not be
 * foreseen.  carry: the mixed key that found no room; moving: NULL, or keys
 * move. */
#define DEFINE_PUT(name, slot_type)                                        \
    static inline enum put name(const struct compact *c, uint64_t line,    \
                         slot_type slot, uint64_t *carry,                  \
                         struct window *moving)                            \
    {                                                                      \
        const slot_type mask = (slot_type)c->shape.away_mask;              \
        enum { SLOTS = LINE_BYTES / sizeof(slot_type) };                   \
                                                                           \
        for (;; line++, slot++) {                                          \
            slot_type *at = (slot_type *)(void *)line_at(c, line);         \
            uint32_t used = 0, known = 0, nearest;                         \
                                                                           \
            if (moving)                                                    \
                used = moving->used[line % WINDOW];                        \
            _Pragma("GCC unroll 16")                                       \
            for (uint32_t i = 0; !moving && i < SLOTS; i++) {              \
                used += at[i] != 0;                                        \
                known |= at[i] == slot;                                    \
            }                                                              \
            if (known)                                                     \
                return PUT_KNOWN;                                          \
            if (used < SLOTS) {                                            \
                at[used] = slot;                                           \
                if (moving)                                                \
                    moving->used[line % WINDOW]++;                         \
                return PUT_NEW;                                            \
            }                                                              \
            nearest = (slot & mask) << 4;                                  \
            for (uint32_t i = 0; i < SLOTS; i++) {                         \
                uint32_t this = (uint32_t)(at[i] & mask) << 4 | i;         \
                                                                           \
                nearest = this < nearest ? this : nearest;                 \
            }                                                              \
            if (nearest < (slot & mask) << 4) {                            \
                slot_type other = at[nearest & 15];                        \
                                                                           \
                at[nearest & 15] = slot;                                   \
                slot = other;                                              \
            }                                                              \
            if ((slot & mask) == mask) {                                   \
                *carry = mixed_of(&c->shape, line, slot);                  \
                return PUT_NO_ROOM;                                        \
            }                                                              \
        }                                                                  \
    }

DEFINE_PUT(put_wide, uint64_t)
DEFINE_PUT(put_narrow, uint32_t)

static enum put put(const struct compact *c, uint64_t mixed, uint64_t *carry)
{
    uint64_t rest, line = line_of(&c->shape, mixed, &rest);
    uint64_t slot = rest << c->shape.away_bits | 1;

    return c->shape.wide ? put_wide(c, line, slot, carry, NULL)
                         : put_narrow(c, line, (uint32_t)slot, carry, NULL);
}

static enum put put_moving(const struct compact *c, uint64_t mixed,
                           struct window *moving)
{
    uint64_t rest, line = line_of(&c->shape, mixed, &rest), carry;
    uint64_t slot = rest << c->shape.away_bits | 1;

    while (moving->low > line)
        moving->used[--moving->low % WINDOW] = 0;
    return c->shape.wide
               ? put_wide(c, line, slot, &carry, moving)
               : put_narrow(c, line, (uint32_t)slot, &carry, moving);
}

/* ---- bytes ---- */

static uint64_t chunk_lines(const struct compact *c)
{
    return c->chunks.n == 1 ? c->first : CHUNK;
}

static void give_chunks(struct compact *c)
{
    uint64_t bytes = chunk_lines(c) * LINE_BYTES;

    for (size_t i = 0; i < c->chunks.n; i++)
        budget_give(c->budget, c->chunks.at[i], bytes);
    vec_release(&c->chunks);
}

/* The first chunk, larger than it was. */
static bool widen_first(struct compact *c, uint64_t lines)
{
    uint64_t room = lines < CHUNK ? lines : CHUNK;
    char *made;

    if (c->chunks.n && room <= c->first)
        return true;
    made = budget_take(c->budget, room * LINE_BYTES);
    if (!made)
        return false;
    if (c->chunks.n) {
        memcpy(made, c->chunks.at[0], c->first * LINE_BYTES);
        give_chunks(c);
    }
    vec_push(&c->chunks, made);
    c->first = room;
    return true;
}

/* Room for so many lines; what lies in lines stays. */
static bool have_lines(struct compact *c, uint64_t lines)
{
    if (c->chunks.n <= 1 && !widen_first(c, lines))
        return false;
    while (c->chunks.n * chunk_lines(c) < lines) {
        char *chunk = budget_take(c->budget, CHUNK * LINE_BYTES);

        if (!chunk)
            return false;
        vec_push(&c->chunks, chunk);
    }
    return true;
}

/* ---- growing ---- */

static void set_shape(struct compact *c, struct shape shape)
{
    c->shape = shape;
    c->limit = shape.slots_in_all / 10 * (shape.wide ? 8 : 9);
}

/* Puts the keys of a line of another shape into their lines. */
static bool move_line(struct compact *c, const struct shape *from,
                      uint64_t line, const void *slots,
                      struct window *moving)
{
    uint64_t own = line < from->n_lines ? first_of(from, line) : 0;

    for (uint32_t i = 0; i < (from->wide ? 8 : 16); i++) {
        uint64_t slot = slot_at(slots, i, from->wide), mixed;

        if (!slot)
            break;
        mixed = (slot & from->away_mask) == 1
                    ? own + (slot >> from->away_bits)
                    : mixed_of(from, line, slot);
        if (put_moving(c, mixed, moving) != PUT_NEW)
            return false;
    }
    return true;
}

/* From the last line to the first, since all move to the right; the first
 * ones do not move far enough to keep clear of those still to come, and are
 * taken out before. */
static bool spread(struct compact *c, struct shape to)
{
    const struct shape from = c->shape;
    uint64_t n = from.n_lines + SPARE, n_head = n < HEAD ? n : HEAD;
    char *head = budget_take(c->budget, HEAD * LINE_BYTES);
    uint64_t line[LINE_BYTES / sizeof(uint64_t)];
    struct window moving = {.low = to.n_lines + SPARE};
    bool fits = true;

    if (!head || !have_lines(c, to.n_lines + SPARE)) {
        budget_give(c->budget, head, HEAD * LINE_BYTES);
        return false;
    }
    for (uint64_t i = 0; i < n_head; i++) {
        memcpy(head + i * LINE_BYTES, line_at(c, i), LINE_BYTES);
        memset(line_at(c, i), 0, LINE_BYTES);
    }
    set_shape(c, to);
    for (uint64_t i = n; i-- > n_head && fits;) {
        memcpy(line, line_at(c, i), LINE_BYTES);
        memset(line_at(c, i), 0, LINE_BYTES);
        fits = move_line(c, &from, i, line, &moving);
    }
    for (uint64_t i = n_head; i-- > 0 && fits;)
        fits = move_line(c, &from, i, head + i * LINE_BYTES, &moving);
    budget_give(c->budget, head, HEAD * LINE_BYTES);
    c->broken |= !fits;
    return fits;
}

/* Into slots of half the size: that happens once. */
static bool make_narrow(struct compact *c, struct shape to)
{
    struct compact made = {.budget = c->budget, .mix = c->mix,
                           .count = c->count};
    struct window moving = {.low = to.n_lines + SPARE};
    bool fits = have_lines(&made, to.n_lines + SPARE);

    set_shape(&made, to);
    for (uint64_t i = c->shape.n_lines + SPARE; i-- > 0 && fits;)
        fits = move_line(&made, &c->shape, i, line_at(c, i), &moving);
    give_chunks(fits ? c : &made);
    if (fits)
        *c = made;
    return fits;
}

/* The least number of narrow lines that takes what there is and some more;
 * away_bits tells whether slots can be narrow at all. */
static struct shape narrow_shape(const struct compact *c)
{
    struct shape s = shape_of(c->mix.bits, 8, FIRST_POWER, false);

    while (s.slots_in_all / 10 * 8 < c->count)
        s = s.eighths == 15
                ? shape_of(c->mix.bits, 8, s.power + 1, false)
                : shape_of(c->mix.bits, s.eighths + 1, s.power, false);
    return s;
}

/* Small sets double; the larger, the smaller the step.  Wide slots are but a
 * passing state of what becomes large. */
static struct shape larger_shape(const struct compact *c)
{
    const struct shape *s = &c->shape;
    uint32_t scale = s->wide ? 2 : 0, more = s->eighths;

    if (s->n_lines >= (uint64_t)1 << (18 + scale))
        more = s->eighths == 8 ? 4 : 16 - s->eighths;
    if (s->n_lines >= (uint64_t)1 << (21 + scale))
        more = 1;
    more += s->eighths;
    return more >= 16 ? shape_of(c->mix.bits, more / 2, s->power + 1, s->wide)
                      : shape_of(c->mix.bits, more, s->power, s->wide);
}

static bool grow(struct compact *c)
{
    if (c->shape.wide) {
        struct shape narrow = narrow_shape(c);

        if (narrow.away_bits >= LEAST_AWAY_BITS && make_narrow(c, narrow))
            return true;
    }
    return spread(c, larger_shape(c));
}

/* ---- the set ---- */

struct compact *compact_new(struct budget *budget, uint32_t bits)
{
    struct compact *c = calloc(1, sizeof *c);
    struct shape narrow;

    if (!c)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    c->budget = budget;
    c->mix = mix_of(bits < LEAST_BITS ? LEAST_BITS : bits);
    narrow = shape_of(c->mix.bits, 8, FIRST_POWER, false);
    set_shape(c, narrow.away_bits >= LEAST_AWAY_BITS
                     ? narrow
                     : shape_of(c->mix.bits, 8, FIRST_POWER, true));
    if (have_lines(c, c->shape.n_lines + SPARE))
        return c;
    compact_free(c);
    return NULL;
}

void compact_free(struct compact *c)
{
    if (!c)
        return;
    give_chunks(c);
    free(c);
}

/* Without bytes for more lines it goes on as far as there is room. */
static bool add_one(struct compact *c, uint64_t mixed, bool *is_new)
{
    uint64_t carry = 0;
    enum put put_it;

    if (c->count >= c->limit && !grow(c)) {
        if (c->broken || c->count * 20 >= c->shape.slots_in_all * 19)
            return false;
        c->limit += c->shape.slots_in_all / 64;
    }
    put_it = put(c, mixed, &carry);
    while (put_it == PUT_NO_ROOM && grow(c))
        put_it = put(c, carry, &carry);
    c->broken |= put_it == PUT_NO_ROOM;
    *is_new = put_it == PUT_NEW;
    c->count += *is_new;
    return !c->broken;
}

void compact_fetch(const struct compact *c, const uint64_t *keys, uint32_t n,
                   uint32_t stride)
{
    for (uint32_t i = 0; i < n; i++) {
        uint64_t mixed = mix_do(&c->mix, keys[(size_t)i * stride]), rest;

        const char *at = line_at(c, line_of(&c->shape, mixed, &rest));

        __builtin_prefetch(at, 1);
        __builtin_prefetch(at + LINE_BYTES, 1); /* where that is full */
    }
}

bool compact_add(struct compact *c, const uint64_t *keys, uint32_t n,
                 uint32_t stride, uint32_t *is_new)
{
    ENSURE(n <= COMPACT_BATCH);
    *is_new = 0;
    for (uint32_t i = 0; i < n; i++) {
        bool fresh = false;

        if (c->broken ||
            !add_one(c, mix_do(&c->mix, keys[(size_t)i * stride]), &fresh))
            return false;
        *is_new |= (uint32_t)fresh << i;
    }
    return true;
}

uint64_t compact_count(const struct compact *c)
{
    return c->count;
}

bool compact_each(const struct compact *c, uint64_t *at, uint64_t *key)
{
    uint32_t slots = c->shape.wide ? 8 : 16;
    uint64_t n = (c->shape.n_lines + SPARE) * slots;

    for (; *at < n; ++*at) {
        uint64_t line = *at / slots;
        uint64_t slot = slot_at(line_at(c, line), (uint32_t)(*at % slots),
                                c->shape.wide);

        if (!slot)
            continue;
        *key = mix_undo(&c->mix, mixed_of(&c->shape, line, slot));
        ++*at;
        return true;
    }
    return false;
}
