#include "study/chartshown.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/machine.h"
#include "reference/replay.h"
#include "study/answer.h"
#include "study/complete.h"

/* The last scan of a sequence, played by the reference interpreter. */
struct last {
    const struct chart *chart;
    struct machine *machine;
    struct step_setting setting;
    const struct replay *replay;
    const struct chart_input *input;
    const struct chart_output *output;
};

static bool is_on(const struct last *last, const int64_t *state, bool dark)
{
    const struct chart_output *output = last->output;
    uint32_t actuator = output->of.actuator;
    struct place_id place = {
        PLACE_SLOT, actuator != MODEL_NONE
                        ? last->chart->model->actuators[actuator].slot
                        : output->of.slot};
    int64_t value = machine_place(last->machine, state, place, INT64_MAX);

    if (actuator == MODEL_NONE && dark)
        return false;
    return (value == output->value) != output->other;
}

/* Plays the last scan with these choices; false: it is not judged. */
static bool play(struct last *last, const uint32_t *choices, uint32_t held,
                 bool *on)
{
    uint32_t n = last->replay->n_scans, words = machine_words(last->machine);
    struct arena *scratch = arena_new();
    int64_t *state = arena_array(scratch, words, sizeof *state);
    const struct step_result *step;
    bool judged;

    last->setting.first = n == 1;
    last->setting.held = held;
    if (n == 1)
        machine_start(last->machine, choices, state);
    else
        memcpy(state, last->replay->scans[n - 2].state,
               words * sizeof *state);
    step = machine_step(last->machine, &last->setting, choices, state);
    judged = step->end == STEP_JUDGED;
    *on = judged && is_on(last, state, step->dark);
    arena_free(scratch);
    return judged;
}

static bool was_on(const struct last *last)
{
    uint32_t n = last->replay->n_scans;

    return n > 1 && is_on(last, last->replay->scans[n - 2].state,
                          last->replay->scans[n - 2].dark);
}

static bool is_act(enum chart_act act, bool before, bool with, bool without)
{
    switch (act) {
    case CHART_TURNS_ON: return !before && with && !without;
    case CHART_KEEPS_ON: return before && with && !without;
    case CHART_TURNS_OFF: return before && !with && without;
    case CHART_KEEPS_OFF: return !before && !with && without;
    default: return false;
    }
}

/* The first other position that makes the difference. */
static bool turn_row(struct last *last, enum chart_act act,
                     struct chartshown *shown)
{
    const struct model *model = last->chart->model;
    const uint32_t *choices =
        last->replay->scans[last->replay->n_scans - 1].choices;
    uint32_t row = last->input->row, count = model->choices[row].count;
    uint32_t rest = model->choices[row].rest;
    struct arena *scratch = arena_new();
    uint32_t *turned = arena_array(scratch, model->n_choices + 1,
                                   sizeof *turned);
    bool with, without, found = false;

    memcpy(turned, choices, model->n_choices * sizeof *turned);
    shown->with = true;
    if (play(last, choices, 0, &with))
        for (uint32_t q = 0; q < count && !found; q++) {
            if (q == choices[row] ||
                (last->input->position == CHART_OTHER && q != rest))
                continue;
            turned[row] = shown->turned = q;
            found = play(last, turned, 0, &without) &&
                    is_act(act, was_on(last), with, without);
        }
    arena_free(scratch);
    return found;
}

static bool turn_sensor(struct last *last, enum chart_act act,
                        struct chartshown *shown)
{
    const struct replay_scan *scan =
        &last->replay->scans[last->replay->n_scans - 1];
    uint32_t sensor = last->input->of;
    bool with, without;

    shown->with = scan->sensor[sensor] != 0;
    shown->turned = !shown->with;
    return play(last, scan->choices, 1 + 2 * sensor + 1, &with) &&
           play(last, scan->choices, 1 + 2 * sensor, &without) &&
           is_act(act, was_on(last), with, without);
}

static void see(struct charting *charting, const struct answer *answer,
                uint32_t cell, enum chart_act act, struct chartshown *shown)
{
    const struct chart *chart = &charting->chart;
    struct last last = {
        .chart = chart,
        .machine = charting->study.machine,
        .setting = complete_setting(&charting->study, answer),
        .replay = shown->sequence,
        .input = &chart->inputs[cell / chart->n_outputs],
        .output = &chart->outputs[cell % chart->n_outputs],
    };

    last.setting.whole = true;
    if (last.input->kind == CHART_SENSOR ? turn_sensor(&last, act, shown)
                                         : turn_row(&last, act, shown))
        return;
    shown->sequence = NULL;
    study_internal(&charting->study,
                   "the reference interpreter does not see what an input "
                   "does");
}

struct chartshown chartshown_find(struct charting *charting, uint32_t cell,
                                  enum chart_act act)
{
    const uint32_t *watch =
        &charting->watch[(size_t)cell * CHART_ACTS + act];
    const bool until = true;
    const struct question question = {
        .watches = watch, .n_watches = 1, .until = &until,
        .faults = charting->asked->faults};
    struct chartshown shown = {NULL, 0, false};
    const struct sequence *sequence = NULL;
    struct answer answer;

    answer_find(&charting->study, &question, &answer);
    if (answer_level(&answer, *watch) != 0)
        sequence = answer_sequence(&charting->study, &answer, GOAL_WATCH,
                                   answer_watch(&answer, *watch));
    if (sequence != NULL)
        shown.sequence = complete_sequence(&charting->study, &answer,
                                           sequence, REPLAY_ALLOWED, 0);
    if (shown.sequence != NULL)
        see(charting, &answer, cell, act, &shown);
    answer_release(&answer);
    return shown;
}
