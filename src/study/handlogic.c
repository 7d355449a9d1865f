#include "study/handlogic.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "logic/slice.h"

/* The cells while they are added. */
struct adding {
    struct study *study;
    struct flat wide;
    struct flat_cell *cells;
    flat_expr *leaves; /* per added cell */
    uint32_t n;
};

static void add_cell(struct adding *a, const char *name, flat_expr value)
{
    struct flat_builder *builder = a->study->lowered->builder;
    const struct flat_node *node = flat_node(builder, value);
    struct flat_cell *cell = &a->cells[a->wide.n_cells];

    *cell = (struct flat_cell){.name = name, .kind = PLACE_KINDS,
                               .index = a->n, .low = node->low,
                               .high = node->high, .unit = 1, .next = value};
    cell->initial = flat_const(builder, cell->low);
    a->leaves[a->n++] = flat_leaf(builder, FLAT_CELL, a->wide.n_cells++,
                                  cell->low, cell->high);
}

/* Is number `i` of what was added among the cells of the slice?  Else it has
 * one value only. */
static struct hand_value value_of(const struct adding *a,
                                  const struct slice *slice, uint32_t i)
{
    uint32_t cell = a->study->lowered->flat->n_cells + i, k = 0;
    int64_t only;

    for (uint32_t c = 0; c < slice->n_cells; c++)
        if (slice->cells[c].cell == cell)
            return (struct hand_value){c, slice->cells[c].low,
                                       slice->cells[c].high};
    while (k < slice->n_values && slice->values[k].number != i)
        k++;
    ENSURE(k < slice->n_values);
    ENSURE(slice->nodes[slice->values[k].next].op == FLAT_CONST);
    only = slice->nodes[slice->values[k].next].value;
    return (struct hand_value){FLAT_NONE, only, only};
}

/* ---- what moves ---- */

static uint32_t find_moving(const struct model *model, uint32_t *first)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < model->n_movements; i++) {
        uint32_t k = 0;

        while (k < n && model->movements[first[k]].slot !=
                            model->movements[i].slot)
            k++;
        if (k == n)
            first[n++] = i;
    }
    return n;
}

/* Can a text of the mechanism change a slot, unless a MAY is declined?
 * Nesting is bounded by the parser. */
static bool writes(const struct code_stmt *stmts, uint32_t n, uint32_t slot)
{
    for (uint32_t i = 0; i < n; i++) {
        const struct code_stmt *s = &stmts[i];

        if (s->kind == CODE_MAY)
            continue;
        if (s->kind == CODE_INVOKE)
            return true; /* its outputs may go anywhere */
        if ((s->kind == CODE_ASSIGN || s->kind == CODE_FOR) &&
            slot >= s->target.index &&
            slot < s->target.index + code_reach(&s->target, 1))
            return true;
        for (uint32_t b = 0; b < s->n_branches; b++)
            if (writes(s->branches[b].body, s->branches[b].n_body, slot))
                return true;
    }
    return false;
}

static bool can_stand(const struct model *model)
{
    for (uint32_t s = 0; s < model->n_slots; s++) {
        if (model->slots[s].home != SLOT_MACHINE || model->slots[s].temp)
            continue;
        for (uint32_t i = 0; i < model->n_mechanisms; i++)
            if (writes(model->mechanisms[i].stmts,
                       model->mechanisms[i].n_stmts, s))
                return false;
    }
    return true;
}

/* ---- the whole ---- */

static void add_all(struct adding *a, const struct handlogic *logic)
{
    const struct model *model = a->study->model;
    const struct lowered *lowered = a->study->lowered;

    for (uint32_t i = 0; i < logic->n_machine; i++) {
        uint32_t slot = model->movements[logic->movement[i]].slot;

        add_cell(a, model->slots[slot].path, lowered->slot_value[slot]);
    }
    for (uint32_t i = 0; i < model->n_actuators; i++)
        add_cell(a, model->actuators[i].name->spelling,
                 lowered->slot_value[model->actuators[i].slot]);
}

/* What was added, and whether each obligation is met. */
static const struct slice *make_slice(struct adding *a,
                                      const struct obligations *obligations)
{
    const struct flat *flat = a->study->lowered->flat;
    struct arena *arena = a->study->arena;
    uint32_t *ends = arena_array(arena, flat->n_watches + 1, sizeof *ends);
    flat_expr *all = arena_array(arena, a->n + obligations->n_watched + 1,
                                 sizeof *all);
    struct slice_request request = {.values = all, .n_values = a->n,
                                    .ends = ends, .free_times = true};

    memcpy(all, a->leaves, a->n * sizeof *all);
    for (uint32_t i = 0; i < obligations->n_watched; i++)
        all[request.n_values++] =
            flat->watches[obligations->at[i].watch].condition;
    for (uint32_t i = 0; i < flat->n_watches; i++)
        if (flat->watches[i].kind == WATCH_ERROR)
            ends[request.n_ends++] = i;
    return slice_build(arena, a->study->lowered->builder, &a->wide,
                       &request);
}

static const struct hand_value *values(const struct adding *a,
                                       const struct slice *slice,
                                       uint32_t *from, uint32_t n)
{
    struct hand_value *made = arena_array(a->study->arena, n + 1,
                                          sizeof *made);

    for (uint32_t i = 0; i < n; i++)
        made[i] = value_of(a, slice, (*from)++);
    return made;
}

static const uint32_t *find_marks(const struct adding *a,
                                  const struct slice *slice, uint32_t n)
{
    uint32_t *mark = arena_array(a->study->arena, n + 1, sizeof *mark);

    for (uint32_t i = 0; i < n; i++) {
        while (mark[i] < slice->n_values &&
               slice->values[mark[i]].number != a->n + i)
            mark[i]++;
        ENSURE(mark[i] < slice->n_values);
    }
    return mark;
}

static const bool *find_outliving(const struct adding *a,
                                  const struct slice *slice)
{
    const struct model *model = a->study->model;
    bool *outlives = arena_array(a->study->arena, slice->n_cells + 1,
                                 sizeof *outlives);

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct flat_cell *cell = &a->wide.cells[slice->cells[i].cell];
        const struct slot *slot;

        outlives[i] = cell->kind == PLACE_PHASE;
        if (cell->kind != PLACE_SLOT)
            continue;
        slot = &model->slots[cell->index];
        outlives[i] = slot->retain || slot->home == SLOT_MACHINE ||
                      slot->home == SLOT_WIRING_IN ||
                      slot->home == SLOT_WIRING_OUT;
    }
    return outlives;
}

static const bool *find_control(const struct adding *a,
                                const struct slice *slice)
{
    const struct model *model = a->study->model;
    bool *of_control = arena_array(a->study->arena, slice->n_cells + 1,
                                   sizeof *of_control);

    for (uint32_t i = 0; i < slice->n_cells; i++) {
        const struct flat_cell *cell = &a->wide.cells[slice->cells[i].cell];

        of_control[i] = cell->kind == PLACE_SLOT &&
                        (model->slots[cell->index].home == SLOT_GLOBAL ||
                         model->slots[cell->index].home == SLOT_PROGRAM);
    }
    return of_control;
}

static void start_adding(struct adding *a, struct study *study, uint32_t most)
{
    const struct flat *flat = study->lowered->flat;

    a->study = study;
    a->wide = *flat;
    a->cells = arena_array(study->arena, flat->n_cells + most + 1,
                           sizeof *a->cells);
    memcpy(a->cells, flat->cells, flat->n_cells * sizeof *a->cells);
    a->wide.cells = a->cells;
    a->leaves = arena_array(study->arena, most + 1, sizeof *a->leaves);
}

static void find_machine(struct handlogic *logic, struct arena *arena)
{
    const struct model *model = logic->model;
    uint32_t *first = arena_array(arena, model->n_movements + 1,
                                  sizeof *first);

    logic->n_machine = find_moving(model, first);
    logic->movement = first;
    logic->can_stand = can_stand(model);
}

static uint32_t power_row(const struct model *model)
{
    for (uint32_t i = 0; i < model->n_choices; i++)
        if (model->choices[i].kind == CHOICE_POWER)
            return i;
    return MODEL_NONE;
}

const struct handlogic *handlogic_of(struct study *study,
                                     const struct obligations *obligations)
{
    const struct model *model = study->model;
    struct handlogic *logic = ARENA_NEW(study->arena, struct handlogic);
    struct adding a = {0};
    uint32_t at = 0;

    logic->model = model;
    logic->power = power_row(model);
    find_machine(logic, study->arena);
    start_adding(&a, study, logic->n_machine + model->n_actuators);
    add_all(&a, logic);
    logic->slice = make_slice(&a, obligations);
    logic->machine = values(&a, logic->slice, &at, logic->n_machine);
    logic->output = values(&a, logic->slice, &at, model->n_actuators);
    logic->mark = find_marks(&a, logic->slice, obligations->n_watched);
    logic->of_control = find_control(&a, logic->slice);
    logic->outlives = find_outliving(&a, logic->slice);
    return logic;
}

bool handlogic_begins(const struct handlogic *logic, uint32_t machine,
                      int64_t at)
{
    const struct model *model = logic->model;
    uint32_t number = model->movements[logic->movement[machine]].slot;
    const struct slot *slot = &model->slots[number];

    if (slot->start == MODEL_NONE)
        return slot->initial == at;
    for (uint32_t i = 0; i < model->choices[slot->start].count; i++)
        if (model->choices[slot->start].values[i] == at)
            return true;
    return false;
}
