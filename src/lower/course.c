/* docs/notes/step.md, section 3, as a table of contents. */
#include "lower/course.h"

#include "lower/unfold.h"
#include "lower/element.h"
#include "lower/machine.h"
#include "lower/judging.h"
#include "lower/relay.h"
#include "lower/signals.h"
#include "lower/builtin.h"
#include "lower/term.h"
#include "lower/will.h"

/* An error in the steps before, or inside an assumption, must not be hidden
 * by an assumption that then seems not to hold: the scan goes on to its
 * error. */
static void assume(struct sym *sym)
{
    struct flat_builder *b = sym->builder;
    flat_expr path = sym->path;

    sym->assuming = true;
    for (uint32_t i = 0; i < sym->model->n_assumptions; i++) {
        flat_expr holds =
            unfold_expr(sym, sym->model->assumptions[i].condition);

        sym->assumption[i] = term_or(b, holds, sym_raised(sym));
        sym->path = term_and(b, sym->path, holds);
    }
    sym->assuming = false;
    sym->path = path;
}

/* ---- what only a lit scan does ---- */

/* In the scans between nothing of it changes. */
static void run_program(struct sym *sym, uint32_t program)
{
    flat_expr path = sym->path, due = sym_due(sym, program);
    size_t mark = env_mark(&sym->env);
    sym->path = term_and(sym->builder, path, due);
    unfold_program(sym, &sym->model->programs[program]);
    sym->path = path;
    struct env_changes changes = env_take(&sym->env, mark);
    env_merge(&sym->env, mark, due, &changes);
}

static void run_programs(struct sym *sym)
{
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < model->n_programs; i++)
        run_program(sym, i);
    for (uint32_t i = 0; i < model->n_actuators; i++) {
        uint32_t command = model->actuators[i].command;
        sym->command[i] = command == MODEL_NONE
                               ? flat_const(sym->builder, 0)
                               : env_get(&sym->env, command);
    }
}

static void run_control(struct sym *sym)
{
    const struct model *model = sym->model;
    if (will_runs_programs(sym))
        builtin_time_passes(sym, true);
    signals_sample(sym);
    relay_begin(sym, SLOT_WIRING_IN);
    unfold_body(sym, &model->wiring_in);
    will_inputs(sym);
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (model->slots[i].input)
            sym->sampled[i] = env_get(&sym->env, i);
    if (will_runs_programs(sym))
        run_programs(sym);
    else
        will_programs(sym);
}

/* What a control variable holds in the dark. */
static flat_expr restart(struct sym *sym, uint32_t slot)
{
    return sym->model->slots[slot].retain
               ? sym->slot[slot].before
               : flat_const(sym->builder, sym->model->slots[slot].initial);
}

static flat_expr unless_dark(struct sym *sym, flat_expr dark,
                             flat_expr lit)
{
    return flat_ite(sym->builder, sym->dark, dark, lit);
}

static void merge_control(struct sym *sym,
                          const struct env_changes *changes)
{
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < changes->n; i++) {
        uint32_t slot = changes->at[i].slot;
        flat_expr value = changes->at[i].value;
        if (!sym_remembers(&model->slots[slot]))
            continue;
        if (!sym_is_control(&model->slots[slot]))
            value = unless_dark(sym, env_get(&sym->env, slot), value);
        env_set(&sym->env, slot, value);
    }
    for (uint32_t i = 0; i < model->n_slots; i++) {
        if (!sym_is_control(&model->slots[i]) || model->slots[i].temp)
            continue;
        flat_expr value = env_get(&sym->env, i), dark = restart(sym, i);
        env_set(&sym->env, i, unless_dark(sym, dark, value));
        if (sym->sampled[i] != FLAT_NONE)
            sym->sampled[i] = unless_dark(sym, dark, sym->sampled[i]);
    }
    for (uint32_t i = 0; i < model->n_actuators; i++)
        sym->command[i] = unless_dark(sym, flat_const(sym->builder, 0),
                                       sym->command[i]);
}

/* Steps 5 (its lit part) and 6.  The restart that step 7 ends with in the
 * dark is done here: nothing between reads a control variable. */
static void run_lit(struct sym *sym)
{
    size_t mark = env_mark(&sym->env);
    sym->path = sym->lit;
    run_control(sym);
    sym->path = term_true(sym->builder);
    struct env_changes changes = env_take(&sym->env, mark);
    merge_control(sym, &changes);
    element_settle(sym);
}

/* ---- the end of a scan ---- */

static void judge(struct sym *sym)
{
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < model->n_recorders; i++)
        unfold_body(sym, &model->recorders[i]);
    element_settle(sym);
    for (uint32_t i = 0; i < model->n_clocks; i++)
        (void)unfold_clock(sym, i);
    judging_run(sym);
}

/* A value outside the type comes from an error, after which nothing
 * counts; stored is only what fits the cell. */
static void keep_slot(struct sym *sym, uint32_t index)
{
    struct kept kept = sym->slot[index];
    flat_expr value = env_get(&sym->env, index);
    if (kept.cell == FLAT_NONE)
        return;
    const struct flat_cell *cell = &sym->cells.at[kept.cell];
    if (!sym->model->slots[index].clock) {
        value = term_at_least(sym->builder, value, cell->low);
        value = term_at_most(sym->builder, value, cell->high);
    }
    env_set(&sym->env, index, value);
    sym_keep(sym, kept, value);
}

/* Counted anew from the scan in which power comes. */
static void keep_phases(struct sym *sym)
{
    struct flat_builder *b = sym->builder;
    for (uint32_t i = 0; i < sym->model->n_programs; i++) {
        struct kept phase = sym->phase[i];
        if (phase.cell == FLAT_NONE)
            continue;
        flat_expr left = flat_ite(
            b, sym_turn(sym, i),
            flat_const(b, sym->model->programs[i].every - 1),
            flat_binary(b, FLAT_SUB, phase.before, flat_const(b, 1)));
        sym_keep(sym, phase,
                 flat_ite(b, sym->dark, flat_const(b, 0), left));
    }
}

void course_keep(struct sym *sym)
{
    const struct model *model = sym->model;
    sym_keep(sym, sym->was_dark, sym->dark);
    keep_phases(sym);
    for (uint32_t i = 0; i < model->n_causes; i++)
        sym_keep(sym, sym->cause[i], sym->cause_now[i]);
    for (uint32_t i = 0; i < model->n_faults; i++)
        if (model->faults[i].own)
            sym_keep(sym, sym->fault[i], sym->fault_now[i]);
    for (uint32_t i = 0; i < model->n_controls; i++)
        sym_keep(sym, sym->hand[i], sym->hand_now[i]);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        sym_keep(sym, sym->commanded[i], sym->command[i]);
    for (uint32_t i = 0; i < model->n_slots; i++)
        keep_slot(sym, i);
}

void course_run(struct sym *sym)
{
    builtin_time_passes(sym, false);
    machine_moves(sym);
    assume(sym);
    signals_conduct(sym);
    run_lit(sym);
    if (sym->will && sym->will->way == LOWER_AT_WILL) {
        will_always(sym);
        will_actuators(sym);
    } else {
        signals_command(sym);
        relay_begin(sym, SLOT_WIRING_OUT);
        unfold_body(sym, &sym->model->wiring_out);
        signals_actuator_faults(sym);
    }
    judge(sym);
}
