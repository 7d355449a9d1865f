#include "study/stoplines.h"

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "logic/graft.h"
#include "study/study.h"

void stoplines_columns(struct study *study, struct stopmap *map)
{
    const struct model *model = study->model;
    struct stopmap_column *columns = arena_array(
        study->arena, (size_t)model->n_controls + 1, sizeof *columns);

    for (uint32_t i = 0; i < model->n_controls; i++)
        if (model->controls[i].kind == SIGNAL_STOP)
            columns[map->n_stops++] = (struct stopmap_column){
                STOPMAP_STOP, i, CHART_NOT_KNOWN};
    map->n_columns = map->n_stops;
    if (map->n_stops > 1)
        columns[map->n_columns++] = (struct stopmap_column){
            STOPMAP_EVERY, MODEL_NONE, CHART_NOT_KNOWN};
    map->columns = columns;
}

/* Lines being listed. */
struct listing {
    struct study *study;
    const struct model *model;
    VEC(struct stopmap_line) lines;
    bool *listed; /* per actuator */
};

/* A variable that a movement moves, or that has named positions. */
static bool is_part(const struct model *model, uint32_t slot)
{
    const struct slot *of = &model->slots[slot];

    if (of->home != SLOT_MACHINE || of->temp || of->clock)
        return false;
    for (uint32_t i = 0; i < model->n_movements; i++)
        if (model->movements[i].slot == slot)
            return true;
    return of->type->kind == TYPE_ENUM;
}

/* Actuators whose stored value the variable reads. */
static void find_drivers(struct listing *listing, struct stopmap_line *line)
{
    const struct lowered *lowered = listing->study->lowered;
    const struct flat *flat = lowered->flat;
    struct arena *arena = listing->study->arena;
    bool *marked = arena_array(arena, flat_builder_count(lowered->builder),
                               sizeof *marked);
    bool *drives = arena_array(arena, (size_t)listing->model->n_actuators + 1,
                               sizeof *drives);
    uint32_t *found = arena_array(
        arena, (size_t)listing->model->n_actuators + 1, sizeof *found);

    graft_mark(lowered->builder, lowered->slot_value[line->of], marked);
    for (uint32_t i = 0; i < flat->n_nodes; i++) {
        const struct flat_node *node = &flat->nodes[i];

        if (!marked[i] || node->op != FLAT_CELL ||
            flat->cells[node->a].kind != PLACE_SLOT)
            continue;
        for (uint32_t a = 0; a < listing->model->n_actuators; a++)
            if (listing->model->actuators[a].slot ==
                flat->cells[node->a].index)
                drives[a] = true;
    }
    for (uint32_t a = 0; a < listing->model->n_actuators; a++)
        if (drives[a])
            found[line->n_driven_by++] = a;
    line->driven_by = found;
}

static void find_movements(struct listing *listing, struct stopmap_line *line)
{
    uint32_t *found = arena_array(
        listing->study->arena, (size_t)listing->model->n_movements + 1,
        sizeof *found);

    for (uint32_t i = 0; i < listing->model->n_movements; i++)
        if (listing->model->movements[i].slot == line->of)
            found[line->n_movements++] = i;
    line->movements = found;
}

static void add_actuator(struct listing *listing, uint32_t actuator)
{
    if (listing->listed[actuator])
        return;
    listing->listed[actuator] = true;
    vec_push(&listing->lines, ((struct stopmap_line){
        .of = actuator, .occurs = CHART_NOT_KNOWN}));
}

static void add_part(struct listing *listing, uint32_t slot)
{
    struct stopmap_line line = {.part = true, .of = slot,
                                .occurs = CHART_NOT_KNOWN};

    find_drivers(listing, &line);
    find_movements(listing, &line);
    for (uint32_t i = 0; i < line.n_driven_by; i++)
        add_actuator(listing, line.driven_by[i]);
    vec_push(&listing->lines, line);
}

void stoplines_list(struct study *study, struct stopmap *map)
{
    const struct model *model = study->model;
    struct listing listing = {.study = study, .model = model};
    struct stopmap_line *lines;

    listing.listed = arena_array(study->arena,
                                 (size_t)model->n_actuators + 1,
                                 sizeof *listing.listed);
    for (uint32_t i = 0; i < model->n_slots; i++)
        if (is_part(model, i))
            add_part(&listing, i);
    for (uint32_t i = 0; i < model->n_actuators; i++)
        if (model->actuators[i].kind == SIGNAL_VALVE ||
            model->actuators[i].kind == SIGNAL_MOTOR)
            add_actuator(&listing, i);
    lines = arena_array(study->arena, listing.lines.n + 1, sizeof *lines);
    for (size_t i = 0; i < listing.lines.n; i++)
        lines[i] = listing.lines.at[i];
    map->lines = lines;
    map->n_lines = (uint32_t)listing.lines.n;
    vec_release(&listing.lines);
}
