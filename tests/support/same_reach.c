#include "tests/support/same_reach.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "logic/slice.h"

void same_reach(const struct slice *slice, const struct reach *a,
                const struct reach *b)
{
    assert_int_equal(a->end, EXPLORE_COMPLETE);
    assert_int_equal(b->end, EXPLORE_COMPLETE);
    for (uint32_t i = 0; i < a->levels && i < b->levels; i++)
        assert_int_equal(a->level_size[i], b->level_size[i]);
    assert_int_equal(a->levels, b->levels);
    assert_int_equal(a->situations, b->situations);
    assert_string_equal(a->count, b->count);
    for (uint32_t i = 0; i < slice->n_watches; i++)
        assert_int_equal(a->watch_level[i], b->watch_level[i]);
    for (uint32_t i = 0; i < slice->n_ends; i++)
        assert_int_equal(a->end_level[i], b->end_level[i]);
    assert_int_equal(a->dead_end, b->dead_end);
    assert_int_equal(a->reduced, b->reduced);
    for (uint32_t i = 0; i < slice->n_cells; i++) {
        assert_int_equal(a->low[i], b->low[i]);
        assert_int_equal(a->high[i], b->high[i]);
    }
}

void same_sequences(const struct sequence *a, const struct sequence *b)
{
    assert_int_equal(a == NULL, b == NULL);
    if (!a || !b)
        return;
    assert_int_equal(a->length, b->length);
    assert_int_equal(a->n_choices, b->n_choices);
    for (uint32_t i = 0; i < a->length * a->n_choices; i++) {
        assert_int_equal(a->choices[i], b->choices[i]);
        assert_int_equal(a->decided[i], b->decided[i]);
    }
    assert_int_equal(a->operator_cost, b->operator_cost);
    assert_int_equal(a->fault_cost, b->fault_cost);
    assert_int_equal(a->movement_cost, b->movement_cost);
}
