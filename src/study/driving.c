#include "study/driving.h"

#include "base/arena.h"
#include "check/model.h"
#include "logic/graft.h"
#include "lower/lower.h"
#include "source/diag.h"

/* The logic with every command free, and the whole one. */
struct driving {
    struct arena *arena;
    const struct model *model;
    const struct lowered *whole, *loose;
};


static uint32_t command_row(const struct driving *d, uint32_t actuator)
{
    uint32_t slot = d->model->actuators[actuator].command;

    for (uint32_t i = d->model->n_choices;
         slot != MODEL_NONE && i < d->loose->flat->n_choices; i++)
        if (d->loose->flat->choices[i].name == d->model->slots[slot].path)
            return i;
    return MODEL_NONE;
}

/* Either version has its own, unless the machine gives it. */
static bool is_own(const struct driving *d, const struct flat_cell *cell)
{
    const struct slot *slot;

    if (cell->kind != PLACE_SLOT)
        return false;
    slot = &d->model->slots[cell->index];
    return (slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL) &&
           !slot->input;
}

/* Requirements and recorders look on; of them alone nothing comes. */
static bool looks_on(const struct driving *d, const struct flat_cell *cell,
                     uint32_t actuator)
{
    switch (cell->kind) {
    case PLACE_COMMANDED_LAST: case PLACE_CLOCK_WAS: case PLACE_CLOCK_AGE:
    case PLACE_MONITOR_FLAG: case PLACE_MONITOR_AGE: case PLACE_NOTICE:
    case PLACE_EXCEPT_AGE:
        return true;
    case PLACE_SLOT: break;
    default: return false;
    }
    return d->model->slots[cell->index].home == SLOT_RECORDER ||
           d->model->slots[cell->index].home == SLOT_WIRING_OUT ||
           cell->index == d->model->actuators[actuator].slot;
}

/* Does the expression read the row, or a cell that was reached? */
static bool reads(const struct driving *d, flat_expr expr, uint32_t row,
                  const bool *reached)
{
    const struct flat_builder *b = d->loose->builder;
    bool *marked = arena_array(d->arena, flat_builder_count(b),
                               sizeof *marked);

    graft_mark(b, expr, marked);
    for (flat_expr i = 0; i <= expr; i++) {
        const struct flat_node *node = flat_node(b, i);

        if (marked[i] && ((node->op == FLAT_CHOICE && node->a == row) ||
                          (node->op == FLAT_CELL && reached[node->a])))
            return true;
    }
    return false;
}

/* Reached are cells that look on; anything else that is reached is driven. */
static bool spreads_to_machine(const struct driving *d, uint32_t actuator,
                               uint32_t row, bool *reached)
{
    const struct flat *flat = d->loose->flat;
    bool more = true;

    while (more) {
        more = false;
        for (uint32_t i = 0; i < flat->n_cells; i++) {
            if (reached[i] || is_own(d, &flat->cells[i]) ||
                !reads(d, flat->cells[i].next, row, reached))
                continue;
            if (!looks_on(d, &flat->cells[i], actuator))
                return true;
            reached[i] = more = true;
        }
    }
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        if (reads(d, flat->assumptions[i].condition, row, reached))
            return true;
    return false;
}

/* Does a program, or what it commands, read a cell that was reached? */
static bool read_by_program(const struct driving *d, const bool *reached)
{
    const struct flat *flat = d->whole->flat;
    const struct flat_builder *b = d->whole->builder;
    bool *marked = arena_array(d->arena, flat_builder_count(b),
                               sizeof *marked);

    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (flat->cells[i].kind == PLACE_SLOT &&
            (d->model->slots[flat->cells[i].index].home == SLOT_PROGRAM ||
             d->model->slots[flat->cells[i].index].home == SLOT_GLOBAL))
            graft_mark(b, flat->cells[i].next, marked);
    for (uint32_t i = 0; i < d->model->n_actuators; i++)
        graft_mark(b, d->whole->command[i], marked);
    for (uint32_t i = 0; i < d->model->n_errors; i++)
        if (d->whole->error[i] != FLAT_NONE)
            graft_mark(b, flat->watches[d->whole->error[i]].condition,
                       marked);
    for (uint32_t i = 0; i < flat->n_nodes; i++) {
        const struct flat_node *node = flat_node(b, i);
        const struct flat_cell *cell;

        if (!marked[i] || node->op != FLAT_CELL)
            continue;
        cell = &flat->cells[node->a];
        for (uint32_t k = 0; k < d->loose->flat->n_cells; k++)
            if (reached[k] && d->loose->flat->cells[k].kind == cell->kind &&
                d->loose->flat->cells[k].index == cell->index)
                return true;
    }
    return false;
}

static bool drives(struct driving *d, uint32_t actuator)
{
    uint32_t row = command_row(d, actuator);
    struct arena *scratch = arena_new(), *kept = d->arena;
    bool *reached = arena_array(scratch,
                                (size_t)d->loose->flat->n_cells + 1,
                                sizeof *reached);
    bool found;

    d->arena = scratch;
    found = d->model->actuators[actuator].command != MODEL_NONE &&
            (row == MODEL_NONE ||
             spreads_to_machine(d, actuator, row, reached) ||
             read_by_program(d, reached));
    d->arena = kept;
    arena_free(scratch);
    return found;
}

const bool *driving_actuators(struct arena *arena, const struct model *model,
                              const struct lowered *whole)
{
    struct diags *diags = diags_new(arena);
    struct driving d = {.arena = arena, .model = model, .whole = whole};
    struct lowered *loose =
        lower_free(arena, model, LOWER_COMMANDED_FREE, whole, diags);
    bool *all = arena_array(arena, (size_t)model->n_actuators + 1,
                            sizeof *all);

    diags_free(diags);
    if (loose == NULL)
        return NULL;
    d.loose = loose;
    for (uint32_t i = 0; i < model->n_actuators; i++)
        all[i] = drives(&d, i);
    lowered_free(loose);
    return all;
}
