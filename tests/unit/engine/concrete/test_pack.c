#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/arena.h"
#include "engine/concrete/pack.h"
#include "logic/slice.h"

enum { CELLS = 7 };

static const struct slice_cell cells[CELLS] = {
    {.low = 0, .high = 1, .unit = 1},
    {.low = -40, .high = 90, .unit = 10},
    {.low = 7, .high = 7, .unit = 1},
    {.low = INT64_MIN, .high = INT64_MAX, .unit = 1},
    {.low = -3, .high = 3, .unit = 1},
    {.low = INT64_MIN, .high = 0, .unit = 1},
    {.low = 0, .high = 1, .unit = 1},
};

static const struct slice slice = {.cells = cells, .n_cells = CELLS};

static void gives_back_what_was_put(void **state)
{
    static const int64_t rows[][CELLS] = {
        {0, -40, 7, INT64_MIN, -3, INT64_MIN, 0},
        {1, 90, 7, INT64_MAX, 3, 0, 1},
        {1, 0, 7, -1, 0, -5, 0},
        {0, 50, 7, 123456789012345, -1, INT64_MIN + 1, 1},
    };
    struct arena *arena = arena_new();
    const struct pack *pack = pack_new(arena, &slice);

    (void)state;
    assert_int_equal(pack->n_words, 5);
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        uint64_t words[5] = {0};

        for (uint32_t i = 0; i < CELLS; i++)
            assert_true(pack_put(&pack->fields[i], words, rows[r][i]));
        for (uint32_t i = 0; i < CELLS; i++)
            assert_true(pack_get(&pack->fields[i], words) == rows[r][i]);
    }
    arena_free(arena);
}

static void moves_what_does_not_fit(void **state)
{
    static const int64_t put[] = {-41, 91, 45, INT64_MIN, INT64_MAX};
    static const int64_t got[] = {-40, 90, 40, -40, 90};
    struct arena *arena = arena_new();
    const struct pack *pack = pack_new(arena, &slice);

    (void)state;
    for (size_t i = 0; i < 5; i++) {
        uint64_t words[5] = {0};

        assert_false(pack_put(&pack->fields[1], words, put[i]));
        assert_true(pack_get(&pack->fields[1], words) == got[i]);
        /* its neighbours are not touched */
        assert_true(pack_get(&pack->fields[0], words) == 0);
        assert_true(pack_get(&pack->fields[2], words) == 7);
    }
    arena_free(arena);
}

static void nothing_takes_one_word(void **state)
{
    static const struct slice none = {.n_cells = 0};
    struct arena *arena = arena_new();

    (void)state;
    assert_int_equal(pack_new(arena, &none)->n_words, 1);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gives_back_what_was_put),
        cmocka_unit_test(moves_what_does_not_fit),
        cmocka_unit_test(nothing_takes_one_word),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
