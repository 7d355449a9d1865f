/* A slice as data: what each part looks like, and numbers that many readers
 * would not keep. */
#include "logic/flatdata.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/text.h"
#include "logic/slice.h"

static void test_all_parts(void **unused)
{
    static const int64_t values[] = {0, 1};
    static const struct flat_choice choices[] = {
        {.kind = FLAT_OPERATOR, .count = 2, .values = values, .rest = 1}};
    static const struct flat_node nodes[] = {
        {.op = FLAT_CONST, .value = 7, .low = 7, .high = 7},
        {.op = FLAT_CELL, .a = 0, .low = 0, .high = 9},
        {.op = FLAT_CHOICE, .a = 0, .low = 0, .high = 1},
        {.op = FLAT_NOT, .a = 2, .low = 0, .high = 1},
        {.op = FLAT_ADD, .a = 0, .b = 1, .low = 7, .high = 16},
        {.op = FLAT_ITE, .a = 3, .b = 0, .c = 4, .low = 7, .high = 16}};
    static const struct slice_cell cells[] = {{.first = 0, .next = 5}};
    static const struct slice_root assumptions[] = {{2, 3, 3}};
    static const struct slice_root watches[] = {{4, 2, 3}};
    static const struct slice_root roots[] = {{0, 0, 5}};
    const struct slice slice = {
        .nodes = nodes, .n_nodes = 6, .choices = choices, .n_choices = 1,
        .cells = cells, .n_cells = 1, .assumptions = assumptions,
        .n_assumptions = 1, .watches = watches, .n_watches = 1,
        .values = roots, .n_values = 1};
    struct text out = {0};

    (void)unused;
    flatdata_add(&out, &slice);
    assert_string_equal(
        text_str(&out),
        "{\"nodes\":[[0,7],[1,0],[2,0],[4,2],[11,0,1],[17,3,0,4]],\n"
        "\"wide\":[],\n"
        "\"choices\":[[6,1,0,1]],\n"
        "\"cells\":[[0,5]],\n"
        "\"assumptions\":[[2,3,3]],\n"
        "\"watches\":[[4,2,3]],\n"
        "\"values\":[[0,0,5]]}");
    text_release(&out);
}

/* 2^53 is the last whole number that a double has and the one above it does
 * not (IEEE 754). */
static void test_wide_numbers(void **unused)
{
    const int64_t most = INT64_C(9007199254740992);
    static const int64_t values[] = {INT64_MIN, INT64_MAX};
    static const struct flat_choice choices[] = {
        {.kind = FLAT_INPUT, .count = 2, .values = values}};
    const struct flat_node nodes[] = {
        {.op = FLAT_CONST, .value = most, .low = most, .high = most},
        {.op = FLAT_CONST, .value = most + 1, .low = most + 1,
         .high = most + 1},
        {.op = FLAT_CHOICE, .a = 0, .low = INT64_MIN, .high = INT64_MAX}};
    const struct slice slice = {.nodes = nodes, .n_nodes = 3,
                                .choices = choices, .n_choices = 1};
    struct text out = {0};

    (void)unused;
    flatdata_add(&out, &slice);
    assert_string_equal(
        text_str(&out),
        "{\"nodes\":[[0,9007199254740992],[0,\"9007199254740993\"],[2,0]],\n"
        "\"wide\":[1,2],\n"
        "\"choices\":[[7,0,\"-9223372036854775808\","
        "\"9223372036854775807\"]],\n"
        "\"cells\":[],\n\"assumptions\":[],\n\"watches\":[],\n"
        "\"values\":[]}");
    text_release(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_parts),
        cmocka_unit_test(test_wide_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
