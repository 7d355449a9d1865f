#include "reference/naive.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/decision.h"
#include "base/vec.h"
#include "reference/canonical.h"
#include "reference/odometer.h"
#include "reference/reached.h"

struct walk_state {
    const struct naive_setting *setting;
    const struct model *model;
    struct naive_result *result;
    struct reached reached;
    struct stock *situations; /* states as the places show them */
    int64_t *situation;       /* scratch */
    struct odometer *odometer;
    VEC(uint64_t) levels;
    bool *trigger, *branch, *stretch, *vector;
    uint32_t n_vectors;
    uint32_t *group; /* choices of the group that is looked at, below */
    bool in_group, fits;
};

/* ---- what counts ---- */

/* The memory of requirements that nobody asks about only makes states
 * differ: no text can read it. */
static const bool *forget_monitors(struct arena *arena,
                                   const struct machine *machine,
                                   const struct naive_setting *setting)
{
    const struct model *model = machine_model(machine);
    bool *forgotten =
        arena_array(arena, machine_words(machine), sizeof *forgotten);

    for (uint32_t i = 0; i < model->n_requirements; i++) {
        bool asked = i == setting->requirement;
        struct place_id flag = {PLACE_MONITOR_FLAG, i};
        struct place_id age = {PLACE_MONITOR_AGE, i};
        struct place_id since = {PLACE_EXCEPT_AGE, i};

        for (uint32_t k = 0; k < setting->n_places; k++) {
            struct place_id id = setting->places[k].id;

            asked = asked || ((id.kind == PLACE_MONITOR_FLAG ||
                               id.kind == PLACE_MONITOR_AGE) &&
                              id.index == i);
        }
        forgotten[machine_word(machine, flag)] = !asked;
        forgotten[machine_word(machine, age)] = !asked;
        forgotten[machine_word(machine, since)] = !asked;
    }
    return forgotten;
}

static void note_situation(struct walk_state *walk, const int64_t *state)
{
    const struct naive_setting *setting = walk->setting;

    for (uint32_t i = 0; i < setting->n_places; i++)
        walk->situation[i] =
            machine_place(walk->reached.machine, state,
                          setting->places[i].id, setting->places[i].most);
    stock_add(walk->situations, walk->situation);
}

/* ---- dead ends ---- */

/* What happens before the inputs: for each way of it, some input must fit.
 * These rows are read before all inputs, so ways that agree in them follow
 * one another.  A PAST has no say in what the assumptions allow. */
static bool before_inputs(const struct choice *choice)
{
    return choice->kind < CHOICE_OPERATOR && choice->kind != CHOICE_PAST;
}

static bool same_group(const struct walk_state *walk)
{
    for (uint32_t i = 0; i < walk->model->n_choices; i++)
        if (before_inputs(&walk->model->choices[i]) &&
            walk->group[i] != walk->odometer->choices[i])
            return false;
    return true;
}

static void end_group(struct walk_state *walk, uint32_t judgings)
{
    struct naive_result *result = walk->result;

    if (walk->in_group && !walk->fits && !result->dead_end) {
        result->dead_end = true;
        result->dead_end_level = judgings;
    }
    walk->in_group = false;
}

static void note_group(struct walk_state *walk, enum step_end end,
                       uint32_t judgings)
{
    if (!walk->in_group || !same_group(walk)) {
        end_group(walk, judgings);
        memcpy(walk->group, walk->odometer->choices,
               walk->model->n_choices * sizeof *walk->group);
        walk->in_group = true;
        walk->fits = false;
    }
    walk->fits = walk->fits || end != STEP_NOT_ALLOWED;
}

/* ---- one scan ---- */

static void note_error(struct walk_state *walk, uint32_t site, uint32_t level)
{
    struct naive_result *result = walk->result;

    if (result->error_level == 0 ||
        (result->error_level == level && site < result->error_site)) {
        result->error_level = level;
        result->error_site = site;
    }
}

static void note_judging(struct walk_state *walk,
                         const struct step_result *step, uint32_t level)
{
    uint32_t asked = walk->setting->requirement;
    int64_t *state = walk->odometer->after;

    for (uint32_t i = 0; i < walk->model->n_branches; i++)
        walk->branch[i] = walk->branch[i] || step->branch[i];
    for (uint32_t i = 0; i < walk->model->n_stretches; i++)
        walk->stretch[i] = walk->stretch[i] || step->stretch[i];
    for (uint32_t i = 0; i < walk->n_vectors; i++)
        walk->vector[i] = walk->vector[i] || step->vector[i];
    if (asked != MODEL_NONE) {
        for (uint32_t i = 0; i < walk->model->requirements[asked].n_triggers;
             i++)
            walk->trigger[i] = walk->trigger[i] || step->trigger[asked][i];
    }
    for (uint32_t i = 0; i < NOTICE_PARTS; i++)
        walk->result->notice[i] = walk->result->notice[i] || step->notice[i];
    if (walk->result->breach_level == 0 &&
        reached_found(&walk->reached, step))
        walk->result->breach_level = level;
    reached_normalise(&walk->reached, state);
    stock_add(walk->reached.states, state);
    note_situation(walk, state);
}

/* All ways out of a state (NULL: the first scans), which lead to `level`. */
static void expand(struct walk_state *walk, const int64_t *from,
                   uint32_t level)
{
    const struct step_result *step;

    odometer_begin(walk->odometer, &walk->setting->step, from);
    walk->in_group = false;
    while ((step = odometer_next(walk->odometer))) {
        note_group(walk, step->end, level - 1);
        if (step->end == STEP_ERROR)
            note_error(walk, step->error, level);
        else if (step->end == STEP_JUDGED)
            note_judging(walk, step, level);
    }
    end_group(walk, level - 1);
}

/* ---- level by level ---- */

static bool too_many(const struct walk_state *walk)
{
    return walk->setting->most_states > 0 &&
           stock_count(walk->reached.states) > walk->setting->most_states;
}

static void expand_level(struct walk_state *walk, uint32_t level,
                         int64_t *from)
{
    const uint32_t *first = walk->reached.first.at;
    uint32_t words = machine_words(walk->reached.machine);
    uint32_t begin = first[level - 2], end = first[level - 1];

    for (uint32_t i = begin; i < end && !too_many(walk); i++) {
        memcpy(from, stock_key(walk->reached.states, i),
               words * sizeof *from);
        expand(walk, from, level);
    }
}

static void walk_all(struct walk_state *walk, int64_t *from)
{
    uint32_t seen = 0;

    vec_push(&walk->reached.first, 0);
    expand(walk, NULL, 1);
    for (uint32_t level = 2;; level++) {
        uint32_t states = stock_count(walk->reached.states);
        uint32_t situations = stock_count(walk->situations);

        if (too_many(walk))
            return;
        if (states == walk->reached.first.at[level - 2])
            break;
        vec_push(&walk->reached.first, states);
        vec_push(&walk->levels, situations - seen);
        seen = situations;
        expand_level(walk, level, from);
    }
    walk->result->complete = true;
}

/* States beyond the last new situation add empty levels; they are no levels
 * of the places. */
static void finish(struct walk_state *walk, struct arena *arena)
{
    struct naive_result *result = walk->result;
    uint64_t *levels;

    while (walk->levels.n > 0 && walk->levels.at[walk->levels.n - 1] == 0)
        walk->levels.n--;
    levels = arena_array(arena, walk->levels.n, sizeof *levels);
    if (walk->levels.n > 0)
        memcpy(levels, walk->levels.at, walk->levels.n * sizeof *levels);
    result->levels = levels;
    result->n_levels = (uint32_t)walk->levels.n;
    result->situations = stock_count(walk->situations);
    result->trigger = walk->trigger;
    result->branch = walk->branch;
    result->stretch = walk->stretch;
    result->vector = walk->vector;
    if (result->breach_level > 0 &&
        result->breach_level <= walk->reached.first.n)
        result->sequence = canonical_sequence(arena, &walk->reached,
                                              result->breach_level);
}

static void release(struct walk_state *walk)
{
    stock_free(walk->reached.states);
    stock_free(walk->situations);
    vec_release(&walk->reached.first);
    vec_release(&walk->levels);
}

const struct naive_result *naive_explore(struct arena *arena,
                                         struct machine *machine,
                                         const struct naive_setting *setting)
{
    const struct model *model = machine_model(machine);
    uint32_t words = machine_words(machine);
    bool asks = setting->requirement != MODEL_NONE;
    struct arena *scratch = arena_new();
    struct walk_state walk = {
        .setting = setting,
        .model = model,
        .result = ARENA_NEW(arena, struct naive_result),
        .situations = stock_new(setting->n_places),
        .situation = arena_array(scratch, setting->n_places, sizeof(int64_t)),
        .odometer = odometer_new(scratch, machine),
        .branch = arena_array(arena, model->n_branches, sizeof(bool)),
        .stretch = arena_array(arena, model->n_stretches, sizeof(bool)),
        .n_vectors = model->decisions != NULL
                         ? model->decisions->n_vectors : 0,
        .group = arena_array(scratch, model->n_choices, sizeof(uint32_t)),
    };

    walk.vector = arena_array(arena, walk.n_vectors, sizeof(bool));
    ENSURE(!asks || setting->requirement < model->n_requirements);
    walk.trigger = arena_array(
        arena, asks ? model->requirements[setting->requirement].n_triggers
                    : 0, sizeof(bool));
    walk.reached.machine = machine;
    walk.reached.setting = setting->step;
    walk.reached.requirement = setting->requirement;
    walk.reached.notice = setting->notice;
    walk.reached.forgotten = forget_monitors(scratch, machine, setting);
    walk.reached.states = stock_new(words);
    walk_all(&walk, arena_array(scratch, words, sizeof(int64_t)));
    finish(&walk, arena);
    release(&walk);
    arena_free(scratch);
    return walk.result;
}
