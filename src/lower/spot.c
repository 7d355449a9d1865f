#include "lower/spot.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "lower/leaf.h"
#include "lower/relay.h"
#include "lower/term.h"

struct spot spot_of_slot(struct sym *sym, uint32_t slot)
{
    struct spot_at *at = ARENA_NEW(sym->arena, struct spot_at);
    ENSURE(slot <= sym->model->n_slots); /* an instance may be empty */
    *at = (struct spot_at){slot, term_true(sym->builder)};
    return (struct spot){at, 1};
}

struct spot spot_behind(struct sym *sym, struct spot spot,
                          uint32_t slots)
{
    struct spot_at *at;
    if (slots == 0)
        return spot;
    at = arena_array(sym->arena, spot.n, sizeof *at);
    for (uint32_t i = 0; i < spot.n; i++)
        at[i] = (struct spot_at){spot.at[i].slot + slots,
                                  spot.at[i].when};
    return (struct spot){at, spot.n};
}

/* The indices that the expression can have, as far as they lie in the
 * array; all of them where none does. */
static void span_of(struct sym *sym, const struct code_index *step,
                    flat_expr index, int64_t *low, int64_t *high)
{
    const struct flat_node *node = flat_node(sym->builder, index);
    *low = node->low > step->low ? node->low : step->low;
    *high = node->high < step->high ? node->high : step->high;
    if (*low > *high) {
        *low = step->low;
        *high = step->high;
    }
}

static void raise_outside(struct sym *sym, const struct code_index *step,
                          flat_expr index)
{
    struct flat_builder *b = sym->builder;
    flat_expr below, above;
    if (step->site == CODE_NO_SITE)
        return;
    below = flat_binary(b, FLAT_LT, index, flat_const(b, step->low));
    above = flat_binary(b, FLAT_LT, flat_const(b, step->high), index);
    sym_raise(sym, step->site, term_or(b, below, above));
}

struct spot spot_element(struct sym *sym, struct spot spot,
                           const struct code_index *step, flat_expr index)
{
    struct flat_builder *b = sym->builder;
    struct spot_at *at;
    int64_t low, high;
    uint32_t n = 0;
    raise_outside(sym, step, index);
    span_of(sym, step, index, &low, &high);
    at = arena_array(sym->arena, (size_t)spot.n * (size_t)(high - low + 1),
                     sizeof *at);
    for (uint32_t i = 0; i < spot.n; i++)
        for (int64_t k = low; k <= high; k++) {
            flat_expr when = term_equals(b, index, k);
            when = term_and(b, spot.at[i].when, when);
            uint32_t slots = (uint32_t)(k - step->low) * step->stride;
            if (!term_is(b, when, 0))
                at[n++] = (struct spot_at){spot.at[i].slot + slots, when};
        }
    return n > 0 ? (struct spot){at, n} : spot;
}

flat_expr spot_read(struct sym *sym, struct spot spot, uint32_t slots,
                     enum code_when when)
{
    uint32_t i = spot.n - 1;
    flat_expr value = leaf_slot(sym, spot.at[i].slot + slots, when);
    while (i-- > 0)
        value = flat_ite(sym->builder, spot.at[i].when,
                         leaf_slot(sym, spot.at[i].slot + slots, when),
                         value);
    return value;
}

void spot_write(struct sym *sym, struct spot spot, uint32_t slots,
                 flat_expr value)
{
    for (uint32_t i = 0; i < spot.n; i++) {
        uint32_t slot = spot.at[i].slot + slots;
        ENSURE(slot < sym->model->n_slots);
        env_set_if(&sym->env, spot.at[i].when, slot,
                   relay_holds(sym, slot, value));
    }
}
