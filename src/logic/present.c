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

/* Row i of `behind` counts the causes after number i that were there
 * before. */
static void count_behind(struct flat_builder *table,
                         const struct occurring *causes, uint32_t count,
                         uint32_t most, flat_expr *behind)
{
    flat_expr none = flat_const(table, 0);

    for (uint32_t k = 0; k < most; k++)
        behind[(size_t)(count - 1) * most + k] = none;
    for (uint32_t i = count - 1; i-- > 0;) {
        flat_expr *row = behind + (size_t)i * most;

        for (uint32_t k = 0; k < most; k++)
            row[k] = row[most + k];
        count_one(table, row, most, causes[i + 1].before);
    }
}

/* All others of the set have occurred: those visited already in this scan as
 * they are now.  FALSE for one that does not belong to it. */
static flat_expr completes(struct flat_builder *table,
                           const struct occurring *causes, uint32_t cause,
                           const struct cause_set *set)
{
    flat_expr all = flat_const(table, 1);
    bool belongs = false;

    for (uint32_t i = 0; i < set->n; i++) {
        uint32_t other = set->causes[i];

        if (other == cause)
            belongs = true;
        else
            all = flat_binary(table, FLAT_AND, all,
                              other < cause ? causes[other].present
                                            : causes[other].before);
    }
    return belongs ? all : flat_const(table, 0);
}

static flat_expr occurred(struct flat_builder *table,
                          const struct occurring *causes, uint32_t cause,
                          const struct occurring_limits *limits,
                          flat_expr full)
{
    for (uint32_t i = 0; i < limits->n_forbidden; i++)
        full = flat_binary(table, FLAT_OR, full,
                           completes(table, causes, cause,
                                     &limits->forbidden[i]));
    return flat_binary(table, FLAT_OR, causes[cause].before,
                       flat_binary(table, FLAT_AND, causes[cause].choice,
                                   flat_not(table, full)));
}

static void count_all(struct flat_builder *table, struct occurring *causes,
                      uint32_t count, const struct occurring_limits *limits)
{
    VEC(flat_expr) behind = {0}, ahead = {0};
    uint32_t most = limits->most;

    vec_reserve(&behind, (size_t)count * most);
    count_behind(table, causes, count, most, behind.at);
    for (uint32_t k = 0; k < most; k++)
        vec_push(&ahead, flat_const(table, 0));
    for (uint32_t i = 0; i < count; i++) {
        flat_expr full = is_full(table, ahead.at,
                                 behind.at + (size_t)i * most, most);

        causes[i].present = occurred(table, causes, i, limits, full);
        count_one(table, ahead.at, most, causes[i].present);
    }
    vec_release(&behind);
    vec_release(&ahead);
}

void present_count(struct flat_builder *table, struct occurring *causes,
                   uint32_t count, const struct occurring_limits *limits)
{
    if (limits->most > 0 && limits->most < count) {
        count_all(table, causes, count, limits);
        return;
    }
    for (uint32_t i = 0; i < count; i++)
        causes[i].present =
            limits->most == 0 ? flat_const(table, 0)
                              : occurred(table, causes, i, limits,
                                         flat_const(table, 0));
}

flat_expr present_appears(struct flat_builder *table,
                          const struct appearing *fault)
{
    return flat_binary(table, fault->goes ? FLAT_XOR : FLAT_OR,
                       fault->before,
                       flat_binary(table, FLAT_AND, fault->choice,
                                   fault->enabled));
}
