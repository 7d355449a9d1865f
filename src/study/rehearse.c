#include "study/rehearse.h"

#include <string.h>

#include "base/arena.h"
#include "base/hash.h"
#include "check/model.h"
#include "reference/machine.h"
#include "study/pair.h"

/* Ends early after IDLE runs that showed nothing new; FEW are enough where
 * only some requirements are asked. */
enum { RUNS = 100, FEW = 10, IDLE = 8, SCANS = 150, TRIES = 24 };

/* A second version that runs beside the first. */
struct beside {
    struct study *study;
    const struct pair_outputs *outputs;
    int64_t *state, *old, *new; /* of the outputs */
    struct pair_found *found;   /* as soon as they differ */
};

struct run {
    struct study *study;
    uint64_t seed;
    uint32_t *choices, *wanted;
    int64_t *state, *spare;
    bool **trigger;
    bool *branch, *stretch, *breach;
    uint32_t patience; /* operators change one in so many scans */
    uint32_t calm;     /* and leave it at rest but once in so many times */
    struct beside *beside; /* or NULL */
    bool varied;       /* each run has hands and a fault of its own: */
    bool *lively;      /* per row: operators move it in this run */
    bool *allowed;     /* per cause: it may occur in this run */
    uint32_t faults;   /* so many causes may occur in it, 0 or 1 */
    uint32_t scans;    /* of the last run */
    uint32_t news;     /* triggers and branches seen for the first time */
};

static uint32_t random_below(struct run *run, uint32_t bound)
{
    run->seed = hash_word(run->seed + 0x9e3779b97f4a7c15u);
    return (uint32_t)((run->seed >> 20) % bound);
}

/* New values for some rows: operators keep what they hold for a while,
 * power goes seldom, movements come often. */
static void draw(struct run *run, bool all)
{
    const struct model *model = run->study->model;

    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        bool sticky = choice->kind == CHOICE_OPERATOR ||
                      choice->kind == CHOICE_INPUT ||
                      choice->kind == CHOICE_SHARED;

        run->wanted[i] = run->choices[i];
        if (choice->kind == CHOICE_POWER)
            run->wanted[i] = random_below(run, 64) == 0;
        else if (choice->kind == CHOICE_FAULT)
            run->wanted[i] = run->faults > 0 && random_below(run, 16) == 0;
        else if (run->varied && sticky && !run->lively[i])
            run->wanted[i] = choice->rest;
        else if (!sticky || all || random_below(run, run->patience) == 0)
            run->wanted[i] = random_below(run, run->calm) != 0 && sticky
                                 ? choice->rest
                                 : random_below(run, choice->count);
    }
}

static void mark(struct run *run, bool *seen, bool now)
{
    run->news += now && !*seen;
    *seen = *seen || now;
}

/* With the fault of this run: of a requirement that it may not break. */
static bool survives(const struct run *run, const struct requirement *asked)
{
    if (asked->despite == 0 || asked->another)
        return false;
    for (uint32_t i = 0; i < run->study->model->n_causes; i++)
        if (run->allowed[i] && !asked->despite_of[i])
            return false;
    return true;
}

/* What occurs with a fault shows breaches only. */
static void note_with_fault(struct run *run, const struct step_result *result)
{
    const struct model *model = run->study->model;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        run->breach[r] =
            run->breach[r] ||
            (result->breach[r] && survives(run, &model->requirements[r]));
}

static void note(struct run *run, const struct step_result *result)
{
    const struct model *model = run->study->model;

    if (result->fault_budget < run->faults) {
        note_with_fault(run, result);
        return;
    }
    for (uint32_t r = 0; r < model->n_requirements; r++)
        for (uint32_t t = 0; t < model->requirements[r].n_triggers; t++)
            mark(run, &run->trigger[r][t], result->trigger[r][t]);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        run->breach[r] = run->breach[r] || result->breach[r];
    for (uint32_t b = 0; b < model->n_branches; b++)
        mark(run, &run->branch[b], result->branch[b]);
    for (uint32_t s = 0; s < model->n_stretches; s++)
        mark(run, &run->stretch[s], result->stretch[s]);
}

static void outputs_at(const struct study *study,
                       const struct pair_outputs *outputs,
                       const struct step_result *result,
                       const int64_t *state, int64_t *value)
{
    for (uint32_t i = 0; i < outputs->n; i++) {
        const struct pair_output *at = &outputs->at[i];

        if (at->actuator != MODEL_NONE)
            value[i] = result->command[at->actuator];
        else
            value[i] = result->dark ? 0 : machine_place(
                study->machine, state,
                (struct place_id){PLACE_SLOT, at->slot}, INT64_MAX);
    }
}

/* The same scan of the second version; false when it shows a difference, or
 * its path ends. */
static bool step_beside(struct run *run, const struct step_setting *setting,
                        const struct step_result *result)
{
    struct beside *beside = run->beside;

    outputs_at(run->study, beside->outputs, result, run->state, beside->old);
    if (setting->first)
        machine_start(beside->study->machine, run->wanted, beside->state);
    result = machine_step(beside->study->machine, setting, run->wanted,
                          beside->state);
    if (result->end != STEP_JUDGED)
        return false;
    outputs_at(beside->study, beside->outputs, result, beside->state,
               beside->new);
    for (uint32_t i = 0; i < beside->outputs->n; i++)
        if (beside->old[i] != beside->new[i]) {
            beside->found->state = PAIR_DIFFERS;
            beside->found->output = i;
            beside->found->more = beside->new[i] > beside->old[i];
            return false;
        }
    return true;
}

/* One scan; false when no allowed one was met or the path ended. */
static bool step(struct run *run, bool first)
{
    const struct step_setting setting = {.first = first,
                                         .fault_limit = run->faults,
                                         .allowed = run->allowed};
    const struct step_result *result;

    for (uint32_t tries = 0; tries < TRIES; tries++) {
        draw(run, first || tries > TRIES / 2);
        if (first)
            machine_start(run->study->machine, run->wanted, run->state);
        result = machine_step(run->study->machine, &setting, run->wanted,
                              run->state);
        if (result->end == STEP_ERROR)
            return false;
        if (result->end == STEP_NOT_ALLOWED)
            continue;
        memcpy(run->choices, run->wanted,
               run->study->model->n_choices * sizeof *run->choices);
        note(run, result);
        return run->beside == NULL || step_beside(run, &setting, result);
    }
    return false;
}

static void prepare(struct run *run, struct rehearsal *rehearsal)
{
    const struct model *model = run->study->model;
    struct arena *arena = run->study->arena;

    run->choices = arena_array(arena, model->n_choices + 1,
                               sizeof *run->choices);
    run->wanted = arena_array(arena, model->n_choices + 1,
                              sizeof *run->wanted);
    run->state = arena_array(arena, machine_words(run->study->machine) + 1,
                             sizeof *run->state);
    run->branch = arena_array(arena, model->n_branches + 1, sizeof(bool));
    run->stretch = arena_array(arena, model->n_stretches + 1, sizeof(bool));
    run->trigger = arena_array(arena, model->n_requirements + 1,
                               sizeof *run->trigger);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        run->trigger[r] = arena_array(
            arena, model->requirements[r].n_triggers + 1, sizeof(bool));
    rehearsal->trigger = run->trigger;
    rehearsal->branch = run->branch;
    rehearsal->stretch = run->stretch;
    run->lively = arena_array(arena, model->n_choices + 1, sizeof(bool));
    run->allowed = arena_array(arena, model->n_causes + 1, sizeof(bool));
    run->breach = arena_array(arena, model->n_requirements + 1,
                              sizeof(bool));
    rehearsal->breach = run->breach;
}

/* Few hands that move get farther than many: what must stay as it is stays.
 * Every second run has one of the faults. */
static void vary(struct run *run)
{
    static const uint32_t few[] = {2, 4, 8, 16};
    const struct model *model = run->study->model;
    uint32_t one_in = few[random_below(run, 4)];

    for (uint32_t i = 0; i < model->n_choices; i++)
        run->lively[i] = random_below(run, one_in) == 0;
    memset(run->allowed, 0, model->n_causes * sizeof *run->allowed);
    run->faults = model->n_causes > 0 && random_below(run, 2) == 0;
    if (run->faults > 0)
        run->allowed[random_below(run, model->n_causes)] = true;
}

/* One run from power-up; how much of it was new. */
static uint32_t run_once(struct run *run)
{
    static const uint32_t patience[] = {4, 12, 40}, calm[] = {2, 3, 8};
    bool going;

    run->news = 0;
    if (run->varied)
        vary(run);
    run->patience = patience[random_below(run, 3)];
    run->calm = calm[random_below(run, 3)];
    going = step(run, true);
    run->scans = 1;
    for (; going && run->scans < SCANS; run->scans++)
        going = step(run, false);
    return run->news;
}

const struct rehearsal *rehearse(struct study *study)
{
    struct rehearsal *rehearsal = ARENA_NEW(study->arena, struct rehearsal);
    struct run run = {.study = study, .seed = 1};
    uint32_t runs = study->setting.only == NULL ? RUNS : FEW, idle = 0;

    prepare(&run, rehearsal);
    for (uint32_t i = 0; i < runs && idle < IDLE; i++)
        idle = run_once(&run) == 0 ? idle + 1 : 0;
    return rehearsal;
}

static bool breaks(const struct run *run, const bool *wanted)
{
    for (uint32_t r = 0; r < run->study->model->n_requirements; r++)
        if (wanted[r] && run->breach[r])
            return true;
    return false;
}

const struct rehearsal *rehearse_varied(struct study *study, uint32_t runs,
                                        const bool *wanted)
{
    struct rehearsal *rehearsal = ARENA_NEW(study->arena, struct rehearsal);
    struct run run = {.study = study, .seed = 1, .varied = true};

    prepare(&run, rehearsal);
    for (uint32_t i = 0; i < runs; i++) {
        run_once(&run);
        if (wanted != NULL && breaks(&run, wanted))
            break;
    }
    return rehearsal;
}

bool rehearse_beside(struct study *before, struct study *after,
                     const struct pair_outputs *outputs, uint32_t runs,
                     struct pair_found *difference)
{
    struct arena *arena = after->arena;
    size_t n = (size_t)outputs->n + 1;
    struct beside beside = {
        .study = after, .outputs = outputs, .found = difference,
        .state = arena_array(arena, machine_words(after->machine) + 1,
                             sizeof(int64_t)),
        .old = arena_array(arena, n, sizeof(int64_t)),
        .new = arena_array(arena, n, sizeof(int64_t))};
    struct rehearsal *rehearsal = ARENA_NEW(arena, struct rehearsal);
    struct run run = {.study = before, .seed = 1, .varied = true,
                      .beside = &beside};

    *difference = (struct pair_found){.state = PAIR_NOT_KNOWN};
    prepare(&run, rehearsal);
    for (uint32_t i = 0; i < runs; i++) {
        run_once(&run);
        if (difference->state != PAIR_DIFFERS)
            continue;
        difference->level = run.scans;
        return true;
    }
    return false;
}
