#include "tests/support/trial.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "engine/sequence.h"
#include "reference/layout.h"
#include "reference/naive.h"
#include "reference/replay.h"

static const uint64_t MOST_STATES = 20000;
static const size_t MOST_BYTES = 1 << 20;

void trial_open(struct trial *trial, const char *control, const char *review)
{
    const struct study_setting setting = {0};

    memset(trial, 0, sizeof *trial);
    text_model_init(&trial->text, control, review, false);
    assert_non_null(trial->text.lowered);
    trial->arena = arena_new();
    assert_true(study_open(&trial->study, trial->arena, trial->text.model,
                           &setting, trial->text.diags));
}

void trial_open_files(struct trial *trial, const char *control,
                      const char *review)
{
    struct text first = {0}, second = {0};

    assert_int_equal(os_read_file(control, MOST_BYTES, &first), OS_OK);
    assert_int_equal(os_read_file(review, MOST_BYTES, &second), OS_OK);
    trial_open(trial, text_str(&first), text_str(&second));
    text_release(&first);
    text_release(&second);
}

void trial_close(struct trial *trial)
{
    if (trial->answer.reach)
        answer_release(&trial->answer);
    study_close(&trial->study);
    arena_free(trial->arena);
    text_model_release(&trial->text);
}

static uint32_t find(const struct trial *trial, const char *requirement)
{
    const struct model *model = trial->text.model;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (!strcmp(model->requirements[i].name->spelling, requirement))
            return i;
    fail_msg("no requirement %s", requirement);
    return 0;
}

/* ---- as a whole ---- */

void trial_explore(struct trial *trial)
{
    const struct model *model = trial->text.model;
    struct question question = {.faults = trial->study.most_faults};
    uint32_t *watches = arena_array(trial->arena, model->n_requirements,
                                    sizeof *watches);

    for (uint32_t i = 0; i < model->n_requirements; i++)
        watches[i] = trial->study.lowered->breach[i];
    question.watches = watches;
    question.n_watches = model->n_requirements;
    answer_find(&trial->study, &question, &trial->answer);
    assert_true(answer_complete(&trial->answer));
    answer_walk(&trial->answer);
}

static uint32_t watch_of(const struct trial *trial, const char *requirement)
{
    return answer_watch(&trial->answer, trial->study.lowered->breach[
                            find(trial, requirement)]);
}

uint32_t trial_level(const struct trial *trial, const char *requirement)
{
    return exploration_watch_level(trial->answer.exploration,
                                   watch_of(trial, requirement));
}

static const struct flat_cell *flat_cell(const struct trial *trial,
                                         uint32_t cell)
{
    return &trial->study.lowered->flat->cells[
        trial->answer.slice->cells[cell].cell];
}

int64_t trial_value(const struct trial *trial, uint64_t situation,
                    const char *path)
{
    uint32_t slot = text_model_slot(&trial->text, path);

    for (uint32_t i = 0; i < trial->answer.slice->n_cells; i++) {
        const struct flat_cell *cell = flat_cell(trial, i);

        if (cell->kind == PLACE_SLOT && cell->index == slot)
            return exploration_value(trial->answer.exploration, situation, i);
    }
    fail_msg("%s is not stored", path);
    return 0;
}

/* ---- the reference interpreter, everything enumerated ---- */

int64_t trial_stands(const struct model *model, const struct flat *flat,
                     const struct flat_cell *cell)
{
    uint32_t own = cell->index + TIMER_AGE - TIMER_ET;
    int64_t most = -1;

    if (cell->kind != PLACE_SLOT || model->slots[cell->index].clock)
        return cell->high;
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        const struct flat_cell *age = &flat->cells[i];

        if (age->kind != PLACE_SLOT || !model->slots[age->index].clock)
            continue;
        if (age->index == own)
            return age->high < cell->high ? age->high : cell->high;
        most = age->high > most ? age->high : most;
    }
    return most >= 0 && most < cell->high ? most : cell->high;
}

/* The engine lets an age, and an ET that goes on beyond PT, stand at the
 * largest that matters. */
static struct naive_place place_of(const struct trial *trial, uint32_t i)
{
    const struct flat_cell *cell = flat_cell(trial, i);
    bool age = cell->kind == PLACE_MOVE_TOTAL ||
               cell->kind == PLACE_MOVE_UNBROKEN ||
               cell->kind == PLACE_CLOCK_AGE ||
               cell->kind == PLACE_MONITOR_AGE ||
               cell->kind == PLACE_EXCEPT_AGE ||
               (cell->kind == PLACE_SLOT &&
                (machine_layout(trial->study.machine)->beyond ||
                 trial->text.model->slots[cell->index].clock));

    return (struct naive_place){
        .id = {(enum place_kind)cell->kind, cell->index},
        .most = age ? trial_stands(trial->text.model,
                                   trial->study.lowered->flat, cell)
                    : INT64_MAX,
    };
}

static const struct naive_result *enumerate(struct trial *trial)
{
    const struct slice *slice = trial->answer.slice;
    struct naive_place *places = arena_array(trial->arena, slice->n_cells + 1,
                                             sizeof *places);
    const struct model *model = trial->text.model;
    bool *allowed = arena_array(trial->arena, model->n_causes + 1,
                                sizeof *allowed);
    struct naive_setting setting = {
        .step = {.fault_limit = trial->study.most_faults,
                 .allowed = allowed, .counted = slice->used},
        .places = places,
        .n_places = slice->n_cells,
        .requirement = MODEL_NONE,
        .most_states = MOST_STATES,
    };

    for (uint32_t i = 0; i < slice->n_cells; i++)
        places[i] = place_of(trial, i);
    for (uint32_t f = 0; f < model->n_causes; f++)
        allowed[f] = slice->used[model->causes[f].choice];
    return naive_explore(trial->arena, trial->study.machine, &setting);
}

void trial_enumerated(struct trial *trial)
{
    const struct exploration *found = trial->answer.exploration;
    const struct naive_result *naive = enumerate(trial);

    assert_true(naive->complete);
    assert_int_equal(exploration_situations(found), naive->situations);
    assert_true(exploration_levels(found) >= naive->n_levels);
    for (uint32_t l = 1; l <= naive->n_levels; l++)
        assert_int_equal(exploration_level_size(found, l),
                         naive->levels[l - 1]);
}

void trial_replayed(struct trial *trial, const char *requirement,
                    uint32_t length)
{
    uint32_t r = find(trial, requirement);
    const struct step_setting setting = {
        .fault_limit = trial->study.most_faults};
    const struct sequence *sequence =
        sequence_find(trial->arena, trial->answer.exploration, GOAL_WATCH,
                      watch_of(trial, requirement));

    assert_non_null(sequence);
    assert_int_equal(sequence->length, length);
    const struct replay_asked asked = {
        sequence->choices, length, trial->text.model->requirements[r].form ==
            FORM_POSSIBLE ? REPLAY_POSSIBLE : REPLAY_BREACH, r};
    const struct replay *replay = replay_run(trial->arena,
                                             trial->study.machine, &setting,
                                             &asked);
    if (!replay->accepted)
        fail_msg("%s: %s", requirement, replay->why_not);
}

/* ---- the main job ---- */

void trial_judges(struct trial *trial, const char *requirement,
                  enum verdict verdict, uint32_t length)
{
    const struct study_setting setting = {0};
    const struct requirement_finding *found;

    if (!trial->findings)
        trial->findings = check_model(trial->arena, trial->text.model,
                                      &setting, trial->text.diags);
    assert_non_null(trial->findings);
    if (trial->findings->internal_error)
        fail_msg("%s", trial->findings->internal_error);
    found = &trial->findings->requirements[find(trial, requirement)];
    if (found->verdict != verdict)
        fail_msg("%s is %s, not %s", requirement,
                 verdict_words(found->verdict), verdict_words(verdict));
    if ((found->sequence ? found->sequence->n_scans : 0) != length)
        fail_msg("%s: sequence of %u scans, not %u", requirement,
                 found->sequence ? found->sequence->n_scans : 0, length);
}

/* ---- by hand ---- */

void trial_scan(struct trial *trial)
{
    const struct model *model = trial->text.model;
    struct machine *machine = trial->study.machine;
    const uint32_t *choices = trial->text.run->choice;
    const struct step_setting setting = {.first = !trial->state};
    const struct step_result *result;

    if (!trial->state) {
        trial->state = arena_array(trial->arena, machine_words(machine),
                                   sizeof *trial->state);
        machine_start(machine, choices, trial->state);
    }
    text_model_scan(&trial->text);
    result = machine_step(machine, &setting, choices, trial->state);
    assert_int_equal(result->end, STEP_JUDGED);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        assert_int_equal(result->breach[r],
                         text_model_breach(&trial->text, r));
}

int64_t trial_now(const struct trial *trial, const char *path)
{
    const struct place_id place = {PLACE_SLOT,
                                   text_model_slot(&trial->text, path)};
    int64_t value = machine_place(trial->study.machine, trial->state, place,
                                  INT64_MAX);

    int64_t flat = text_model_value(&trial->text, path);

    if (machine_layout(trial->study.machine)->beyond && value > flat)
        return value; /* it stands where it tells no more */
    assert_int_equal(value, flat);
    return value;
}
