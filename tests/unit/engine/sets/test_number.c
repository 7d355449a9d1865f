/* Numbers over variables against flat_apply, assignment by assignment. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/sets/number.h"
#include "logic/apply.h"

enum { COUNT = 8, BITS = 3, TABLES = 400 };

struct bench {
    struct calculator c;
    uint64_t seed;
    int64_t value[2][COUNT]; /* of two numbers by their index */
    struct number number[2];
};

static uint32_t pick(struct bench *b, uint32_t n)
{
    b->seed = b->seed * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)(b->seed >> 33) % n;
}

static int64_t some_value(struct bench *b, uint32_t kind)
{
    static const int64_t far[] = {INT64_MIN, INT64_MAX, INT64_MIN + 1, 0,
                                  -1, 1, INT64_MAX / 3, 10};

    if (kind == 0)
        return far[pick(b, 8)];
    if (kind == 1)
        return (int64_t)pick(b, 9) - 4;
    if (kind == 2)
        return 100 * (int64_t)pick(b, 50) + 700;
    if (kind == 3)
        return 50 - 25 * (int64_t)pick(b, 6);
    return 12;
}

/* Bits of the index of number `which`, and that it has no sign. */
static struct bits index_of(struct bench *b, uint32_t which)
{
    struct bits index = {BITS + 1, NULL};

    index.at = arena_array(b->c.arena, index.n, sizeof *index.at);
    for (uint32_t i = 0; i < BITS; i++)
        index.at[i] = room_variable(b->c.room, 2 * i + which);
    index.at[BITS] = SET_NONE;
    return index;
}

static void make_numbers(struct bench *b)
{
    for (uint32_t which = 0; which < 2; which++) {
        uint32_t kind = pick(b, 5);

        for (uint32_t i = 0; i < COUNT; i++)
            b->value[which][i] = some_value(b, kind);
        b->number[which] = number_of_table(b->c, index_of(b, which),
                                           b->value[which], COUNT);
    }
}

/* ---- what stands at an assignment ---- */

static bool holds(set a, uint32_t x, uint32_t y)
{
    while (a != SET_NONE && a != SET_ALL) {
        struct room_look look = room_look(a);
        uint32_t index = look.variable % 2 ? y : x;

        a = index >> (look.variable / 2) & 1 ? look.yes : look.no;
    }
    return a == SET_ALL;
}

static uint64_t bits_at(struct bits bits, uint32_t x, uint32_t y)
{
    uint64_t made = 0;

    for (uint32_t i = 0; i < 64; i++) {
        uint32_t k = i < bits.n ? i : bits.n - 1;

        if (bits.n && holds(bits.at[k], x, y))
            made |= (uint64_t)1 << i;
    }
    return made;
}

static int64_t value_at(const struct number *n, uint32_t x, uint32_t y)
{
    return (int64_t)((uint64_t)n->base +
                     (uint64_t)n->unit * bits_at(n->bits, x, y));
}

/* ---- operators ---- */

static void try_arithmetic(struct bench *b, enum flat_op op)
{
    const struct number *a = &b->number[0], *c = &b->number[1];
    struct range range = range_of(op, a->range, c->range, c->range);
    struct number made = number_arithmetic(b->c, op, a, c, range);

    for (uint32_t x = 0; x < COUNT; x++)
        for (uint32_t y = 0; y < COUNT; y++)
            assert_int_equal(value_at(&made, x, y),
                             flat_apply(op, b->value[0][x], b->value[1][y],
                                        0));
}

/* By powers of two there is a shorter way. */
static void try_power(struct bench *b, enum flat_op op)
{
    const struct number *a = &b->number[0];

    for (unsigned i = 0; i < 63; i += 7) {
        const struct number power = number_constant(INT64_C(1) << i);
        struct range range = range_of(op, a->range, power.range, a->range);
        struct number made =
            number_arithmetic(b->c, op, a, &power, range);

        for (uint32_t x = 0; x < COUNT; x++)
            assert_int_equal(value_at(&made, x, 0),
                             flat_apply(op, b->value[0][x], INT64_C(1) << i,
                                        0));
    }
}

static void try_relation(struct bench *b, enum flat_op op)
{
    set made =
        number_relation(b->c, op, &b->number[0], &b->number[1]);

    for (uint32_t x = 0; x < COUNT; x++)
        for (uint32_t y = 0; y < COUNT; y++)
            assert_int_equal(holds(made, x, y),
                             flat_apply(op, b->value[0][x], b->value[1][y],
                                        0));
}

static void try_choose(struct bench *b)
{
    const struct number *a = &b->number[0], *c = &b->number[1];
    set less = number_relation(b->c, FLAT_LT, a, c);
    set truth = number_is_true(b->c, a);
    struct number made = number_choose(b->c, less, a, c,
                                       range_join(a->range, c->range));

    for (uint32_t x = 0; x < COUNT; x++)
        for (uint32_t y = 0; y < COUNT; y++) {
            int64_t left = b->value[0][x], right = b->value[1][y];

            assert_int_equal(value_at(&made, x, y),
                             left < right ? left : right);
            assert_int_equal(holds(truth, x, y), left != 0);
        }
}

/* Written from pack_put's contract: the nearest value that can be held, on
 * the grid the one below. */
static void try_units(struct bench *b)
{
    struct range cell = {(int64_t)pick(b, 9) - 4, 0};
    int64_t unit = 1 + (int64_t)pick(b, 4);
    struct bits made;
    set fits;

    cell.high = cell.low + unit * (int64_t)pick(b, 30);
    made = number_units(b->c, &b->number[0], cell, unit, &fits);
    for (uint32_t x = 0; x < COUNT; x++) {
        int64_t v = b->value[0][x], near = v;

        if (v < cell.low)
            near = cell.low;
        else if (v > cell.high)
            near = cell.high;
        near -= (near - cell.low) % unit;
        assert_int_equal(bits_at(made, x, 0), (near - cell.low) / unit);
        assert_int_equal(holds(fits, x, 0), near == v);
    }
}

/* An index of count or more stands for some value all the same. */
static void has_no_other_values(void **state)
{
    static const int64_t values[] = {5, -7, 40, 8, 1};
    const bool trade[BITS] = {false};

    (void)state;
    for (uint32_t count = 1; count <= 5; count++) {
        struct bench b = {.c = {room_open(2 * BITS, trade, NULL), arena_new()}};
        struct number made = number_of_table(b.c, index_of(&b, 0), values,
                                             count);

        for (uint32_t x = 0; x < COUNT; x++) {
            bool known = false;

            for (uint32_t i = 0; i < count; i++)
                known |= value_at(&made, x, 0) == values[i];
            assert_true(known);
            if (x < count)
                assert_int_equal(value_at(&made, x, 0), values[x]);
        }
        room_close(b.c.room);
        arena_free(b.c.arena);
    }
}

static void agrees_with_flat_apply(void **state)
{
    static const enum flat_op arithmetic[] = {FLAT_ADD, FLAT_SUB, FLAT_MUL,
                                              FLAT_DIV, FLAT_MOD, FLAT_MEET};
    static const enum flat_op relations[] = {FLAT_EQ, FLAT_LT, FLAT_LE};
    const bool trade[BITS] = {false};

    (void)state;
    for (uint64_t seed = 1; seed <= TABLES; seed++) {
        struct bench b = {.seed = seed};

        b.c.arena = arena_new();
        b.c.room = room_open(2 * BITS, trade, NULL);
        make_numbers(&b);
        for (uint32_t i = 0; i < 6; i++)
            try_arithmetic(&b, arithmetic[i]);
        try_power(&b, FLAT_DIV);
        try_power(&b, FLAT_MOD);
        for (uint32_t i = 0; i < 3; i++)
            try_relation(&b, relations[i]);
        try_choose(&b);
        try_units(&b);
        assert_false(room_use(b.c.room).full);
        room_close(b.c.room);
        arena_free(b.c.arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(has_no_other_values),
        cmocka_unit_test(agrees_with_flat_apply),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
