#include "study/lesson.h"

#include "base/arena.h"
#include "check/model.h"

/* Watch numbers ascend in order of execution. */
static uint32_t list_errors(const struct lowered *lowered, uint32_t *watches)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < lowered->flat->n_watches; i++)
        if (lowered->flat->watches[i].kind == WATCH_ERROR)
            watches[n++] = i;
    return n;
}

const struct lesson_logic *lesson_logic(struct arena *arena,
                                        const struct model *model,
                                        struct diags *diags)
{
    struct lesson_logic *logic = ARENA_NEW(arena, struct lesson_logic);
    struct slice_request request = {.faults = model->n_causes};
    const struct flat *flat;
    uint32_t *watches, *assumptions;

    logic->model = model;
    logic->lowered = lower_model(arena, model, diags);
    if (logic->lowered == NULL)
        return NULL;
    flat = logic->lowered->flat;
    watches = arena_array(arena, flat->n_watches + 1, sizeof *watches);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        watches[r] = logic->lowered->breach[r];
    logic->n_errors =
        list_errors(logic->lowered, watches + model->n_requirements);
    assumptions =
        arena_array(arena, flat->n_assumptions + 1, sizeof *assumptions);
    for (uint32_t a = 0; a < flat->n_assumptions; a++)
        assumptions[a] = a;
    request.watches = watches;
    request.n_watches = model->n_requirements + logic->n_errors;
    request.values = flat->value;
    request.n_values = flat->n_values;
    request.with_assumptions = assumptions;
    request.n_with_assumptions = flat->n_assumptions;
    logic->slice =
        slice_build(arena, logic->lowered->builder, flat, &request);
    return logic;
}

void lesson_release(const struct lesson_logic *logic)
{
    if (logic != NULL)
        lowered_free(logic->lowered);
}

static bool stands_for(const struct choice *own, uint32_t i, int64_t value)
{
    if (own->bits != 0)
        return (value & own->bits) == own->values[i];
    return own->cell_low != NULL && value >= own->cell_low[i] &&
           value <= own->cell_high[i];
}

int64_t lesson_value(const struct lesson_logic *logic,
                     const struct model *model, uint32_t row, uint32_t index)
{
    const struct choice *own = &logic->model->choices[row];
    int64_t value = model->choices[row].values[index];

    if (index < own->count)
        return value;
    for (uint32_t i = 0; i < own->count; i++)
        if (stands_for(own, i, value))
            return own->values[i];
    return value;
}
