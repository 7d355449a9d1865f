#include "lower/bounds.h"

#include "base/arena.h"
#include "base/divisor.h"
#include "base/ensure.h"
#include "check/model.h"

static struct bounds of_choice(const struct choice *choice)
{
    struct bounds b = {choice->values[0], choice->values[0], 0};
    for (uint32_t i = 0; i < choice->count; i++) {
        int64_t value = choice->values[i];
        b.low = value < b.low ? value : b.low;
        b.high = value > b.high ? value : b.high;
        b.unit = divisor_common(b.unit, value);
    }
    return b;
}

struct bounds *bounds_new(struct arena *arena, const struct model *model)
{
    struct bounds *all = arena_array(arena, model->n_slots, sizeof *all);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        int64_t initial = slot->home == SLOT_ACTUATOR ? 0 : slot->initial;
        all[i] = (struct bounds){initial, initial, divisor_common(initial, 0)};
        if (slot->start != MODEL_NONE)
            all[i] = of_choice(&model->choices[slot->start]);
    }
    return all;
}

static int64_t unit_of(const struct flat_node *node, const int64_t *unit)
{
    int64_t product;
    switch (node->op) {
    case FLAT_CONST:
        return divisor_common(node->value, 0);
    case FLAT_ADD:
    case FLAT_SUB:
    case FLAT_MOD:
        return divisor_common(unit[node->a], unit[node->b]);
    case FLAT_MUL:
        if (__builtin_mul_overflow(unit[node->a], unit[node->b], &product))
            return 1;
        return product;
    case FLAT_ITE:
        return divisor_common(unit[node->b], unit[node->c]);
    default:
        return 1;
    }
}

int64_t *bounds_units(struct arena *arena,
                      const struct flat_builder *builder,
                      const struct model *model, const int64_t *by_cell)
{
    uint32_t n = flat_builder_count(builder);
    int64_t *unit = arena_array(arena, n, sizeof *unit);
    for (uint32_t i = 0; i < n; i++) {
        const struct flat_node *node = flat_node(builder, i);
        if (node->op == FLAT_CELL)
            unit[i] = by_cell[node->a];
        else if (node->op == FLAT_CHOICE)
            unit[i] = of_choice(&model->choices[node->a]).unit;
        else
            unit[i] = unit_of(node, unit);
        /* A sum or product that left int64 is no multiple of anything. */
        if (node->low == INT64_MIN || node->high == INT64_MAX)
            unit[i] = 1;
    }
    return unit;
}

bool bounds_widen(struct bounds *bounds, struct bounds found,
                  int64_t type_low, int64_t type_high, unsigned round)
{
    struct bounds wide = *bounds;
    if (found.low < type_low || found.high > type_high)
        found.unit = 1; /* what lies outside is cut to the type's end */
    found.low = found.low < type_low ? type_low : found.low;
    found.high = found.high > type_high ? type_high : found.high;
    wide.low = found.low < wide.low ? found.low : wide.low;
    wide.high = found.high > wide.high ? found.high : wide.high;
    wide.unit = divisor_common(wide.unit, found.unit);
    if (round >= 3 && wide.low < bounds->low) {
        wide.low = type_low < wide.low ? type_low : wide.low;
        wide.unit = 1;
    }
    if (round >= 3 && wide.high > bounds->high) {
        wide.high = type_high > wide.high ? type_high : wide.high;
        wide.unit = 1;
    }
    bool changed = wide.low != bounds->low || wide.high != bounds->high ||
                   wide.unit != bounds->unit;
    *bounds = wide;
    return changed;
}

struct bounds bounds_aligned(struct bounds bounds)
{
    int64_t unit = bounds.unit > 0 ? bounds.unit : 1;
    int64_t below = bounds.low % unit, above = bounds.high % unit;
    bounds.unit = unit;
    if (below)
        bounds.low += below > 0 ? unit - below : -below;
    if (above)
        bounds.high -= above < 0 ? above + unit : above;
    return bounds;
}

int64_t bounds_whole_scans(int64_t ms, int64_t scan)
{
    ENSURE(ms >= 0 && scan > 0 && ms <= INT64_MAX - scan);
    return (ms + scan - 1) / scan * scan;
}
