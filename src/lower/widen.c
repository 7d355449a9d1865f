/* Rounds of lowering, each in an arena of its own, until the bounds that a
 * round began with hold what it ended with.  Bounds only grow, from round 3
 * on to the whole type and from round 8 on for all variables at once; both 8
 * rounds later for durations.  So rounds end. */
#include "lower/widen.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "lower/sym.h"
#include "lower/course.h"
#include "source/diag.h"

enum { HASTE = 8, WAITS = 8, MORE_HASTE = 16, MAX_ROUNDS = 200 };

/* 34 years: what is longer was never meant. */
static const int64_t longest_preset = INT64_C(1) << 40;

/* "Main.delay" of "Main.delay.IN". */
static const char *instance_of(struct arena *arena, const char *path)
{
    const char *end = strrchr(path, '.');
    return end ? arena_copy(arena, path, (size_t)(end - path)) : path;
}

static bool usable(const struct model *model, const struct sym *sym,
                   struct diags *diags)
{
    bool all = true;
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct preset *preset = &sym->preset[i];
        if (preset->most <= longest_preset)
            continue;
        all = false;
        diag_add(diags, DIAG_ERROR, preset->span,
                 "give PT a constant, fix the input it comes from with "
                 "FIXED, or declare that variable with a range such as "
                 "TIME (T#0s .. T#10s)",
                 "the time of timer \"%s\" has no largest value",
                 instance_of(sym->arena, model->slots[i].path));
    }
    return all;
}

/* An age is a multiple of the step up to the greatest PT, or to what ET
 * still tells beyond it; of a PT beyond the limit it need not be exact, for
 * the run ends with a message. */
static bool widen_age(struct bounds *bounds, const struct preset *preset,
                      int64_t told, int64_t step)
{
    int64_t most = preset->most < 0 ? 0 : preset->most;
    if (most > longest_preset)
        most = longest_preset;
    if (most < told)
        most = told;
    int64_t high = bounds_whole_scans(most, step);
    if (high <= bounds->high)
        return false;
    *bounds = (struct bounds){0, high, step};
    return true;
}

static void type_range(const struct slot *slot, int64_t *low, int64_t *high)
{
    *low = slot->type->low;
    *high = slot->type->high;
    if (slot->home != SLOT_ACTUATOR)
        return;
    *low = *low < 0 ? *low : 0;
    *high = *high > 0 ? *high : 0;
}

static bool widen_slot(const struct sym *sym, const int64_t *unit,
                       struct bounds *bounds, uint32_t i, unsigned round)
{
    const struct slot *slot = &sym->model->slots[i];
    int64_t low, high;
    if (!sym_remembers(slot))
        return false;
    if (slot->clock)
        return widen_age(bounds, &sym->preset[i], slot->told, sym->step);
    flat_expr value = env_get(&sym->env, i);
    const struct flat_node *node = flat_node(sym->builder, value);
    struct bounds found = {node->low, node->high, unit[value]};
    type_range(slot, &low, &high);
    if (slot->type->kind == TYPE_TIME)
        round = round > WAITS ? round - WAITS : 0;
    return bounds_widen(bounds, found, low, high, round);
}

static bool widen_all(struct sym *sym, struct arena *arena,
                      struct bounds *bounds, unsigned round)
{
    bool changed = false;
    int64_t *by_cell = arena_array(arena, sym->cells.n, sizeof *by_cell);
    for (size_t i = 0; i < sym->cells.n; i++)
        by_cell[i] = sym->cells.at[i].unit;
    int64_t *unit = bounds_units(arena, sym->builder, sym->model, by_cell);
    for (uint32_t i = 0; i < sym->model->n_slots; i++)
        changed |= widen_slot(sym, unit, &bounds[i], i, round);
    return changed;
}

/* In haste a variable that is not one value takes its whole type.  A duration
 * first waits for those it hangs on: a timer without a largest time would be
 * refused. */
static void widen_fully(const struct model *model, struct bounds *bounds,
                        bool durations)
{
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        int64_t low, high;
        if (slot->clock || bounds[i].low == bounds[i].high ||
            (slot->type->kind == TYPE_TIME && !durations))
            continue;
        type_range(slot, &low, &high);
        bounds[i] = (struct bounds){low, high, 1};
    }
}

static void align_all(const struct model *model, const struct bounds *from,
                      struct bounds *to)
{
    for (uint32_t i = 0; i < model->n_slots; i++)
        to[i] = bounds_aligned(from[i]);
}

struct rounds {
    const struct model *model;
    const struct will *will;
    struct bounds *bounds;
    struct diags *diags;
    bool good;
};

/* Loops that come to too many passes, or to too many values. */
static bool refuse_long(const struct sym *sym, struct diags *diags)
{
    if (!sym->too_long)
        return false;
    diag_add(diags, DIAG_ERROR, sym->too_long->loop->head,
             "write smaller bounds, or spread the work over several scans",
             "with this loop the loops of one scan come to more passes than "
             "can be looked at");
    return true;
}

/* One round: true when it changed the bounds. */
static bool run_round(struct rounds *rounds, unsigned round)
{
    const struct model *model = rounds->model;
    struct bounds *bounds = rounds->bounds;
    struct arena *arena = arena_new();
    struct bounds *used = arena_array(arena, model->n_slots, sizeof *used);
    struct sym sym;
    align_all(model, bounds, used);
    sym_init(&sym, arena, model, used, rounds->will);
    course_run(&sym);
    bool changed = !refuse_long(&sym, rounds->diags) &&
                   widen_all(&sym, arena, bounds, round);
    if (sym.too_long)
        rounds->good = false;
    else if (!changed)
        rounds->good = usable(model, &sym, rounds->diags);
    else if (round == HASTE || round == MORE_HASTE)
        widen_fully(model, bounds, round == MORE_HASTE);
    flat_builder_free(sym.builder);
    sym_release(&sym);
    arena_free(arena);
    return changed;
}

const struct bounds *widen_bounds(struct arena *arena,
                                  const struct model *model,
                                  const struct will *will,
                                  struct diags *diags)
{
    struct rounds rounds = {
        model, will, bounds_new(arena, model), diags, false};
    unsigned round = 0;
    while (run_round(&rounds, round))
        ENSURE(++round < MAX_ROUNDS);
    align_all(model, rounds.bounds, rounds.bounds);
    return rounds.good ? rounds.bounds : NULL;
}
