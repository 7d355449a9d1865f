#include "tests/support/same_tiles.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <cmocka.h>

/* Seen in a level that was not finished: where depends on the order of
 * work. */
static uint32_t settled(uint32_t level, uint32_t levels)
{
    return level > levels ? 0 : level;
}

static void same_levels(const struct slice *s, const struct reach *r,
                        const struct exploration *x)
{
    bool complete = r->end == EXPLORE_COMPLETE;
    uint32_t upto = complete ? UINT32_MAX : r->levels;

    for (uint32_t i = 0; i < s->n_watches; i++)
        assert_int_equal(settled(r->watch_level[i], upto),
                         settled(exploration_watch_level(x, i), upto));
    for (uint32_t i = 0; i < s->n_ends; i++)
        assert_int_equal(settled(r->end_level[i], upto),
                         settled(exploration_end_level(x, i), upto));
    if (complete || r->dead_end < upto)
        assert_int_equal(r->dead_end, exploration_dead_end(x));
}

static void same_ranges(const struct slice *s, const struct reach *r,
                        const struct exploration *x)
{
    uint64_t n = exploration_situations(x);

    assert_non_null(r->low);
    for (uint32_t c = 0; c < s->n_cells && n; c++) {
        int64_t low = exploration_value(x, 0, c), high = low;

        for (uint64_t i = 1; i < n; i++) {
            int64_t value = exploration_value(x, i, c);

            low = value < low ? value : low;
            high = value > high ? value : high;
        }
        assert_int_equal(r->low[c], low);
        assert_int_equal(r->high[c], high);
    }
}

void same_tiles(const struct slice *s, const struct reach *r,
                const struct exploration *x)
{
    uint64_t sum = 0;
    char count[32];

    assert_int_equal(r->end, exploration_end(x));
    assert_int_equal(r->levels, exploration_levels(x));
    for (uint32_t i = 0; i < r->levels; i++) {
        assert_int_equal(r->level_size[i], exploration_level_size(x, i + 1));
        sum += r->level_size[i];
    }
    assert_int_equal(r->situations, sum);
    snprintf(count, sizeof count, "%llu", (unsigned long long)sum);
    assert_string_equal(r->count, count);
    assert_true(r->bytes > 0);
    same_levels(s, r, x);
    if (r->end != EXPLORE_COMPLETE) {
        assert_null(r->low);
        return;
    }
    assert_int_equal(r->situations, exploration_situations(x));
    assert_int_equal(r->reduced, exploration_reduced(x) > 0);
    same_ranges(s, r, x);
}
