#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/arena.h"
#include "study/label.h"

/* Two buttons (bit 0 released, bit 1 held) and a selector of three. */
static const uint64_t full[3] = {3, 3, 7};

enum { ANY = 3, OFF = 1, ON = 2 };

static struct label label_of(struct arena *arena, const uint64_t (*boxes)[3],
                             size_t n)
{
    struct gathering g;
    struct label label;

    gathering_init(&g, full, 3);
    for (size_t i = 0; i < n; i++)
        gathering_add(&g, boxes[i]);
    label = gathering_label(&g, NULL, arena);
    gathering_release(&g);
    return label;
}

static void assert_box(const uint64_t *box, uint64_t a, uint64_t b,
                       uint64_t c)
{
    assert_int_equal(box[0], a);
    assert_int_equal(box[1], b);
    assert_int_equal(box[2], c);
}

static void both_are_needed(void **state)
{
    static const uint64_t boxes[][3] = {{ON, ON, 1}, {ON, ON, 2}, {ON, ON, 4}};
    struct arena *arena = arena_new();
    struct label label = label_of(arena, boxes, 3);

    (void)state;
    assert_int_equal(label.n_groups, 1);
    assert_box(label.groups, ON, ON, 7);
    assert_box(label.common, ON, ON, 7);
    arena_free(arena);
}

/* A decision tree tells "left held, or left released and right held". */
static void either_is_enough(void **state)
{
    static const uint64_t boxes[][3] = {{ON, ANY, 7}, {OFF, ON, 7}};
    struct arena *arena = arena_new();
    struct label label = label_of(arena, boxes, 2);

    (void)state;
    assert_int_equal(label.n_groups, 2);
    assert_box(label.groups, ON, ANY, 7);
    assert_box(label.groups + 3, ANY, ON, 7);
    assert_box(label.common, ANY, ANY, 7);
    arena_free(arena);
}

static void all_together_say_nothing(void **state)
{
    static const uint64_t boxes[][3] = {
        {ON, ANY, 7}, {OFF, ON, 7}, {OFF, OFF, 3}, {OFF, OFF, 4}};
    struct arena *arena = arena_new();
    struct label label = label_of(arena, boxes, 4);

    (void)state;
    assert_int_equal(label.n_groups, 1);
    assert_box(label.groups, ANY, ANY, 7);
    arena_free(arena);
}

/* The middle one is covered by the other two together. */
static void none_can_be_left_out(void **state)
{
    static const uint64_t boxes[][3] = {
        {ON, ANY, 1}, {ANY, OFF, 1}, {OFF, OFF, 1}, {ON, ANY, 2}};
    struct arena *arena = arena_new();
    struct label label = label_of(arena, boxes, 4);

    (void)state;
    assert_int_equal(label.n_groups, 2);
    assert_box(label.common, ANY, ANY, 3);
    arena_free(arena);
}

static void more_groups_leave_what_is_common(void **state)
{
    static const uint64_t full4[5] = {3, 3, 3, 3, 3};
    static const uint64_t pairs[4][2] = {{0, 1}, {1, 2}, {2, 3}, {3, 0}};
    struct arena *arena = arena_new();
    struct gathering g;
    struct label label;

    (void)state;
    gathering_init(&g, full4, 5);
    for (unsigned i = 0; i < 4; i++) {
        uint64_t box[5] = {ANY, ANY, ANY, ANY, ON};

        box[pairs[i][0]] = box[pairs[i][1]] = ON;
        gathering_add(&g, box);
    }
    label = gathering_label(&g, NULL, arena);
    gathering_release(&g);
    assert_int_equal(label.n_groups, 0);
    for (unsigned i = 0; i < 5; i++)
        assert_int_equal(label.common[i], i < 4 ? ANY : ON);
    arena_free(arena);
}

static void many_single_things_can_be_read(void **state)
{
    static const uint64_t full4[5] = {3, 3, 3, 3, 3};
    struct arena *arena = arena_new();
    struct gathering g;
    struct label label;

    (void)state;
    gathering_init(&g, full4, 5);
    for (unsigned i = 0; i < 4; i++) {
        uint64_t box[5] = {ANY, ANY, ANY, ANY, ON};

        box[i] = ON;
        gathering_add(&g, box);
    }
    label = gathering_label(&g, NULL, arena);
    gathering_release(&g);
    assert_int_equal(label.n_groups, 4);
    assert_int_equal(label.common[4], ON);
    arena_free(arena);
}

/* No scan has both buttons held: a label that asks for one of them need not
 * say that the other is released. */
static void what_never_occurs_need_not_be_excluded(void **state)
{
    static const uint64_t all_boxes[][3] = {{ON, OFF, 7}, {OFF, ANY, 7}};
    static const uint64_t way[3] = {ON, OFF, 1};
    struct arena *arena = arena_new();
    struct gathering all, g;
    struct never never;
    struct label label;

    (void)state;
    gathering_init(&all, full, 3);
    gathering_add(&all, all_boxes[0]);
    gathering_add(&all, all_boxes[1]);
    never = gathering_never(&all, arena);
    assert_int_equal(never.count, 1);
    assert_box(never.boxes, ON, ON, 7);
    gathering_init(&g, full, 3);
    gathering_add(&g, way);
    label = gathering_label(&g, &never, arena);
    assert_int_equal(label.n_groups, 1);
    assert_box(label.groups, ON, ANY, 1);
    assert_box(label.common, ON, ANY, 1);
    gathering_release(&all);
    gathering_release(&g);
    arena_free(arena);
}

static uint64_t next_random(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return *seed >> 33;
}

static bool has(const uint64_t *box, unsigned a, unsigned b, unsigned c)
{
    return (box[0] >> a & 1) && (box[1] >> b & 1) && (box[2] >> c & 1);
}

/* Boxes cut at random: a label with groups is exactly their union, the hull
 * is the tightest, and no group is needless. */
static void groups_are_exactly_the_ways(void **state)
{
    uint64_t seed = 20240501;
    unsigned told = 0;

    (void)state;
    for (unsigned round = 0; round < 2000; round++) {
        uint64_t boxes[6][3];
        size_t n = 1 + next_random(&seed) % 6;
        struct arena *arena = arena_new();
        struct label label;

        for (size_t i = 0; i < n; i++)
            for (unsigned r = 0; r < 3; r++)
                boxes[i][r] = 1 + next_random(&seed) % full[r];
        label = label_of(arena, (const uint64_t (*)[3])boxes, n);
        told += label.n_groups > 0;
        for (unsigned v = 0; v < 12; v++) {
            unsigned in = 0, out = 0;

            for (size_t i = 0; i < n; i++)
                in += has(boxes[i], v & 1, v >> 1 & 1, v >> 2);
            for (size_t i = 0; i < label.n_groups; i++)
                out += has(label.groups + 3 * i, v & 1, v >> 1 & 1, v >> 2);
            if (label.n_groups > 0)
                assert_int_equal(in > 0, out > 0);
            if (in > 0)
                assert_true(has(label.common, v & 1, v >> 1 & 1, v >> 2));
        }
        arena_free(arena);
    }
    assert_true(told > 1000);
}

/* 4,096 boxes of single points make one box again. */
static void many_boxes_are_made_small_on_the_way(void **state)
{
    static const uint64_t wide[2] = {UINT64_MAX, UINT64_MAX};
    struct arena *arena = arena_new();
    struct gathering g;
    struct label label;

    (void)state;
    gathering_init(&g, wide, 2);
    for (unsigned i = 0; i < 4096; i++) {
        uint64_t box[2] = {1ull << (i / 64), 1ull << (i % 64)};

        gathering_add(&g, box);
    }
    label = gathering_label(&g, NULL, arena);
    gathering_release(&g);
    assert_int_equal(label.n_groups, 1);
    assert_true(label.groups[0] == UINT64_MAX);
    assert_true(label.groups[1] == UINT64_MAX);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_are_needed),
        cmocka_unit_test(either_is_enough),
        cmocka_unit_test(all_together_say_nothing),
        cmocka_unit_test(none_can_be_left_out),
        cmocka_unit_test(more_groups_leave_what_is_common),
        cmocka_unit_test(many_single_things_can_be_read),
        cmocka_unit_test(what_never_occurs_need_not_be_excluded),
        cmocka_unit_test(groups_are_exactly_the_ways),
        cmocka_unit_test(many_boxes_are_made_small_on_the_way),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
