#include "study/mappath.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/machine.h"
#include "reference/replay.h"
#include "study/map.h"

static struct code_expr expr_of(const struct shown *shown)
{
    struct code_expr expr = {.type = shown->type, .index = shown->index,
                             .site = CODE_NO_SITE};

    expr.op = shown->kind == SHOWN_HAND      ? CODE_HAND
              : shown->kind == SHOWN_CONTACT ? CODE_CONTACT
                                             : CODE_VARIABLE;
    expr.variable = (struct code_variable){.base = CODE_GLOBAL,
                                           .index = shown->index};
    return expr;
}

static uint32_t node_of(const struct map *map, const int64_t *values)
{
    for (uint32_t i = 0; i < map->n_nodes; i++)
        if (memcmp(map->nodes[i].value, values,
                   map->n_shown * sizeof *values) == 0)
            return i;
    return MODEL_NONE;
}

static uint32_t edge_of(const struct map *map, uint32_t from, uint32_t to)
{
    for (uint32_t i = 0; i < map->n_edges; i++)
        if (map->edges[i].from == from && map->edges[i].to == to)
            return i;
    return MODEL_NONE;
}

/* Being followed. */
struct following {
    const struct map *map;
    const struct replay *sequence;
    struct map_path *path;
    struct map_step *steps;
    uint32_t at; /* node */
};

static void arrive(struct following *f, uint32_t scan, const int64_t *values)
{
    uint32_t node = node_of(f->map, values), edge = MODEL_NONE;

    if (scan > 0 && node != f->at && node != MODEL_NONE)
        edge = edge_of(f->map, f->at, node);
    if (node == MODEL_NONE || (scan > 0 && node != f->at &&
                               edge == MODEL_NONE)) {
        f->path->internal_error = "a sequence goes where the situation "
                                  "diagram has no way";
        return;
    }
    if (scan == 0)
        f->path->first = node;
    else if (node != f->at)
        f->steps[f->path->n_steps++] = (struct map_step){
            edge, scan, replay_time(f->map->model, f->sequence, scan)};
    f->at = node;
}

/* A scan that ends in a run-time error shows nothing. */
static void follow(struct following *f, struct arena *arena)
{
    const struct map *map = f->map;
    struct machine *machine = machine_new(arena, map->model);
    int64_t *state = arena_array(arena, (size_t)machine_words(machine) + 1,
                                 sizeof *state);
    int64_t *values = arena_array(arena, (size_t)map->n_shown + 1,
                                  sizeof *values);
    struct code_expr *exprs = arena_array(arena, (size_t)map->n_shown + 1,
                                          sizeof *exprs);
    const struct code_expr **asked = arena_array(
        arena, (size_t)map->n_shown + 1, sizeof *asked);
    const struct step_question question = {asked, map->n_shown, values};
    struct step_setting setting = {.fault_limit = map->model->n_causes,
                                   .whole = true, .question = &question};

    for (uint32_t i = 0; i < map->n_shown; i++) {
        exprs[i] = expr_of(&map->shown[i]);
        asked[i] = &exprs[i];
    }
    machine_start(machine, f->sequence->scans[0].choices, state);
    for (uint32_t i = 0; i < f->sequence->n_scans &&
                         f->path->internal_error == NULL; i++) {
        setting.first = i == 0;
        if (machine_step(machine, &setting, f->sequence->scans[i].choices,
                         state)->end != STEP_JUDGED)
            return;
        arrive(f, i, values);
    }
}

const struct map_path *mappath_find(struct arena *arena,
                                    const struct map *map,
                                    const struct replay *sequence)
{
    struct map_path *path = ARENA_NEW(arena, struct map_path);
    struct following f = {
        .map = map, .sequence = sequence, .path = path,
        .steps = arena_array(arena, (size_t)sequence->n_scans + 1,
                             sizeof *f.steps)};

    path->steps = f.steps;
    if (sequence->n_scans > 0)
        follow(&f, arena);
    return path;
}
