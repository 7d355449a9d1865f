#include "logic/present.h"

#include "base/vec.h"
#include "logic/build.h"

/* Counting in ones: row[k] says "at least k + 1 of those seen".  After one
 * more is seen. */
static void count_one(struct flat_builder *table, flat_expr *row,
                      uint32_t most, flat_expr seen)
{
    for (uint32_t k = most; k-- > 0;) {
        flat_expr more =
            k ? flat_binary(table, FLAT_AND, row[k - 1], seen) : seen;

        row[k] = flat_binary(table, FLAT_OR, row[k], more);
    }
}

/* At least `most` of the two counts together. */
static flat_expr is_full(struct flat_builder *table, const flat_expr *left,
                         const flat_expr *right, uint32_t most)
{
    flat_expr full = flat_binary(table, FLAT_OR, left[most - 1],
                                 right[most - 1]);

    for (uint32_t k = 1; k < most; k++)
        full = flat_binary(
            table, FLAT_OR, full,
            flat_binary(table, FLAT_AND, left[k - 1], right[most - k - 1]));
    return full;
}

/* Row i of `behind` counts the faults after number i that were there
 * before. */
static void count_behind(struct flat_builder *table,
                         const struct appearing *faults, uint32_t count,
                         uint32_t most, flat_expr *behind)
{
    flat_expr none = flat_const(table, 0);

    for (uint32_t k = 0; k < most; k++)
        behind[(size_t)(count - 1) * most + k] = none;
    for (uint32_t i = count - 1; i-- > 0;) {
        flat_expr *row = behind + (size_t)i * most;

        for (uint32_t k = 0; k < most; k++)
            row[k] = row[most + k];
        count_one(table, row, most, faults[i + 1].before);
    }
}

static flat_expr present_one(struct flat_builder *table,
                             const struct appearing *fault, flat_expr full)
{
    flat_expr appears = flat_binary(table, FLAT_AND, fault->choice,
                                    flat_not(table, full));

    return flat_binary(table, FLAT_OR, fault->before, appears);
}

static void count_all(struct flat_builder *table, struct appearing *faults,
                      uint32_t count, uint32_t most)
{
    VEC(flat_expr) behind = {0}, ahead = {0};

    vec_reserve(&behind, (size_t)count * most);
    count_behind(table, faults, count, most, behind.at);
    for (uint32_t k = 0; k < most; k++)
        vec_push(&ahead, flat_const(table, 0));
    for (uint32_t i = 0; i < count; i++) {
        flat_expr full = is_full(table, ahead.at,
                                 behind.at + (size_t)i * most, most);

        faults[i].present = present_one(table, &faults[i], full);
        count_one(table, ahead.at, most, faults[i].present);
    }
    vec_release(&behind);
    vec_release(&ahead);
}

void present_count(struct flat_builder *table, struct appearing *faults,
                   uint32_t count, uint32_t most)
{
    if (most > 0 && most < count) {
        count_all(table, faults, count, most);
        return;
    }
    for (uint32_t i = 0; i < count; i++)
        faults[i].present =
            most == 0 ? flat_const(table, 0)
                      : present_one(table, &faults[i], flat_const(table, 0));
}
