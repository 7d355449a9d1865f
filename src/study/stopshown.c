#include "study/stopshown.h"

#include "base/arena.h"
#include "check/model.h"
#include "reference/machine.h"
#include "reference/replay.h"
#include "study/answer.h"
#include "study/complete.h"

/* ---- what the reference interpreter sees ---- */

static bool is_pressed(const struct stopmap *map,
                       const struct replay_scan *scan, uint32_t control)
{
    uint32_t row = map->model->controls[control].choice;

    return map->model->choices[row].values[scan->choices[row]] != 0;
}

static bool column_is(const struct stopmap *map, uint32_t column,
                      const struct replay_scan *scan)
{
    bool all = true;

    if (map->columns[column].kind != STOPMAP_EVERY)
        return is_pressed(map, scan, map->columns[column].of);
    for (uint32_t i = 0; i < map->n_stops; i++)
        all = all && is_pressed(map, scan, map->columns[i].of);
    return all;
}

static int64_t value_of(const struct stopmap *map,
                        const struct replay_scan *scan, uint32_t slot)
{
    return machine_place(map->machine, scan->state,
                         (struct place_id){PLACE_SLOT, slot}, INT64_MAX);
}

static bool is_seen(const struct stopmap *map, uint32_t line, uint32_t column,
                    const struct replay *replay)
{
    const struct stopmap_line *of = &map->lines[line];
    const struct replay_scan *last = &replay->scans[replay->n_scans - 1];
    uint32_t slot;

    if (of->part)
        return replay->n_scans > 1 && column_is(map, column, last - 1) &&
               value_of(map, last, of->of) !=
                   value_of(map, last - 1, of->of);
    slot = map->model->actuators[of->of].slot;
    return column_is(map, column, last) &&
           value_of(map, last, slot) != map->model->slots[slot].initial;
}

/* ---- finding it ---- */

static const struct replay *find(struct seenings *seen, uint32_t watch)
{
    const bool until = true;
    const struct question question = {.watches = &watch, .n_watches = 1,
                                      .until = &until,
                                      .faults = seen->faults};
    const struct sequence *sequence = NULL;
    const struct replay *replay = NULL;
    struct answer answer;

    answer_find(seen->study, &question, &answer);
    if (answer_level(&answer, watch) != 0)
        sequence = answer_sequence(seen->study, &answer, GOAL_WATCH,
                                   answer_watch(&answer, watch));
    if (sequence != NULL)
        replay = complete_sequence(seen->study, &answer, sequence,
                                   REPLAY_ALLOWED, 0);
    answer_release(&answer);
    return replay;
}

void stopshown_find(struct seenings *seen, const struct stopmap *map,
                    struct stopmap_cell *cells, const flat_expr *motion)
{
    uint32_t all = map->n_lines * map->n_columns, n = 0;
    struct arena *arena = seen->study->arena;
    flat_expr *conditions = arena_array(arena, (size_t)all + 1,
                                        sizeof *conditions);
    uint32_t *of = arena_array(arena, (size_t)all + 1, sizeof *of);
    uint32_t *watches = arena_array(arena, (size_t)all + 1, sizeof *watches);

    for (uint32_t c = 0; c < all; c++)
        if (cells[c].on == CHART_SEEN) {
            of[n] = c;
            conditions[n++] = motion[c];
        }
    seenings_watches(seen, conditions, n, watches);
    for (uint32_t i = 0; i < n; i++) {
        const struct replay *replay = find(seen, watches[i]);

        if (replay != NULL && !is_seen(map, of[i] / map->n_columns,
                                       of[i] % map->n_columns, replay)) {
            study_internal(seen->study, "the reference interpreter does not "
                                        "see what a stop leaves possible");
            return;
        }
        cells[of[i]].shown = replay;
    }
}
