#include "lower/machine.h"

#include "base/arena.h"
#include "lower/unfold.h"
#include "lower/term.h"

/* A movement on the values at the beginning of the step. */
struct mover {
    flat_expr active;  /* FROM and condition hold */
    flat_expr may, must;
    flat_expr happens;
};

/* (a) conditions; may and must are holes, so that the same logic serves
 * with and without times. */
static void weigh(struct sym *sym, uint32_t i, struct mover *mover)
{
    struct flat_builder *b = sym->builder;
    const struct movement *movement = &sym->model->movements[i];
    flat_expr holds = movement->condition
                          ? unfold_expr(sym, movement->condition)
                          : term_true(b);
    flat_expr from = term_equals(b, env_get(&sym->env, movement->slot),
                                 movement->from);
    mover->active = term_and(b, from, holds);
    mover->may = sym->timed_may[i] = term_true(b);
    mover->must = sym->timed_must[i] = term_false(b);
    if (!movement->timed)
        return;
    flat_expr total = flat_binary(b, FLAT_ADD, sym->total[i].before,
                                  sym->elapsed);
    sym->timed_may[i] = term_reached(b, total, movement->lower);
    mover->may = sym_hole(sym, HOLE_MAY, i);
    if (movement->upper < 0)
        return;
    flat_expr unbroken = flat_binary(b, FLAT_ADD, sym->unbroken[i].before,
                                     sym->elapsed);
    sym->timed_must[i] = term_reached(b, unbroken, movement->upper);
    mover->must = sym_hole(sym, HOLE_MUST, i);
}

static flat_expr chosen(struct sym *sym, uint32_t i,
                        const struct mover *mover)
{
    struct flat_builder *b = sym->builder;
    const struct movement *movement = &sym->model->movements[i];
    const struct choice *row = &sym->model->choices[movement->choice];
    flat_expr picked = term_equals(b, sym_choice(sym, movement->choice),
                                   row->values[movement->number]);
    return term_and(b, picked, term_and(b, mover->active, mover->may));
}

/* (b) Movement i is forced when none of its variable is chosen and it alone
 * has its condition. */
static flat_expr forced(struct sym *sym, uint32_t i,
                        const struct mover *movers)
{
    struct flat_builder *b = sym->builder;
    const struct model *model = sym->model;
    flat_expr value = term_and(b, movers[i].active, movers[i].must);
    for (uint32_t k = 0; k < model->n_movements; k++) {
        if (model->movements[k].slot != model->movements[i].slot)
            continue;
        value = term_less(b, value, chosen(sym, k, &movers[k]));
        if (k != i)
            value = term_less(b, value, movers[k].active);
    }
    return value;
}

static void decide(struct sym *sym, struct mover *movers)
{
    struct flat_builder *b = sym->builder;
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < model->n_movements; i++) {
        struct mover *mover = &movers[i];
        mover->happens = term_or(b, chosen(sym, i, mover),
                                 forced(sym, i, movers));
        flat_expr *moved = &sym->moved[model->movements[i].choice];
        flat_expr moves = term_less(b, mover->happens, sym->first);
        *moved = *moved == FLAT_NONE ? moves : term_or(b, *moved, moves);
    }
    for (uint32_t i = 0; i < model->n_movements; i++)
        env_set_if(&sym->env, movers[i].happens, model->movements[i].slot,
                   flat_const(b, model->movements[i].to));
}

/* (d) A clock grows while the movement has its condition and is reset when
 * the variable has another value than before; in the first scan it rests. */
static void keep_waiting(struct sym *sym, uint32_t i,
                         const struct mover *mover, flat_expr stays)
{
    struct flat_builder *b = sym->builder;
    const struct movement *movement = &sym->model->movements[i];
    flat_expr elapsed = sym->elapsed;
    flat_expr zero = flat_const(b, 0);
    struct kept total = sym->total[i], unbroken = sym->unbroken[i];
    if (total.cell != FLAT_NONE) {
        int64_t cap = bounds_whole_scans(movement->lower, sym->step);
        flat_expr next = flat_ite(b, mover->active,
                                  term_grown(b, total.before, elapsed, cap),
                                  total.before);
        next = flat_ite(b, stays, next, zero);
        sym_keep(sym, total,
                  flat_ite(b, sym->first, total.before, next));
    }
    if (unbroken.cell != FLAT_NONE) {
        int64_t cap = bounds_whole_scans(movement->upper, sym->step);
        flat_expr next = flat_ite(b, term_and(b, mover->active, stays),
                                  term_grown(b, unbroken.before, elapsed, cap),
                                  zero);
        sym_keep(sym, unbroken,
                  flat_ite(b, sym->first, unbroken.before, next));
    }
}

void machine_moves(struct sym *sym)
{
    struct flat_builder *b = sym->builder;
    const struct model *model = sym->model;
    struct mover *movers = arena_array(sym->arena, model->n_movements,
                                       sizeof *movers);
    size_t mark = env_mark(&sym->env);
    sym->path = flat_not(b, sym->first);
    for (uint32_t i = 0; i < model->n_movements; i++)
        weigh(sym, i, &movers[i]);
    decide(sym, movers);
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        unfold_body(sym, &model->mechanisms[i]);
    sym->path = term_true(b);
    struct env_changes changes = env_take(&sym->env, mark);
    env_merge(&sym->env, mark, flat_not(b, sym->first), &changes);
    for (uint32_t i = 0; i < model->n_movements; i++) {
        uint32_t slot = model->movements[i].slot;
        flat_expr stays = flat_binary(b, FLAT_EQ, env_get(&sym->env, slot),
                                      sym->slot[slot].before);
        keep_waiting(sym, i, &movers[i], stays);
    }
}
