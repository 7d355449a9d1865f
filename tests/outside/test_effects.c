/* Cause and effect, held against enumeration by the reference interpreter.
 *
 * The judge walks all situations of a random machine, every scan out of each
 * of them, and plays each scan once more with one input in each other
 * position, all that the turned scan reads beyond the first one being
 * enumerated too.  It shares nothing with the logic and its engines; each of
 * them must find the same acts. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "reference/odometer.h"
#include "reference/replay.h"
#include "source/diag.h"
#include "study/chartlist.h"
#include "study/chartshown.h"
#include "study/load.h"
#include "tests/support/random_review.h"

#ifdef __SANITIZE_ADDRESS__
enum { SEEDS = 24, WANTED = 8 };
#elif defined TEST_WHOLE
enum { SEEDS = 130, WANTED = 100 };
#else
enum { SEEDS = 65, WANTED = 50 };
#endif

enum { MOST_STATES = 250, MOST_WAYS = 400000, MOST_WORDS = 512 };

/* ---- the judge ---- */

struct judge {
    struct arena *arena;
    const struct chart *chart;
    const struct model *model;
    struct machine *plain, *turned;
    struct odometer *ways, *others;
    uint32_t words, n, faults, ways_used;
    int64_t *states;
    bool *seen; /* per cell and act */
    bool too_large;
};

static void keep(struct judge *j, const int64_t *state)
{
    for (uint32_t i = 0; i < j->n; i++)
        if (memcmp(j->states + (size_t)i * j->words, state,
                   j->words * sizeof *state) == 0)
            return;
    if (j->n == MOST_STATES) {
        j->too_large = true;
        return;
    }
    memcpy(j->states + (size_t)j->n++ * j->words, state,
           j->words * sizeof *state);
}

static bool is_on(const struct judge *j, const struct chart_output *output,
                  const int64_t *state)
{
    uint32_t actuator = output->of.actuator;
    struct place_id place = {PLACE_SLOT,
                             actuator != MODEL_NONE
                                 ? j->model->actuators[actuator].slot
                                 : output->of.slot};
    int64_t value = machine_place(j->plain, state, place, INT64_MAX);

    if (actuator == MODEL_NONE &&
        machine_place(j->plain, state,
                      (struct place_id){PLACE_WAS_DARK, 0}, INT64_MAX) != 0)
        return false;
    return (value == output->value) != output->other;
}

static bool *acts(struct judge *j, uint32_t input, uint32_t output)
{
    return j->seen +
           ((size_t)input * j->chart->n_outputs + output) * CHART_ACTS;
}

/* One pair of scans that differ in the input alone. */
static void note_pair(struct judge *j, uint32_t input, const int64_t *before,
                      const int64_t *with, const int64_t *without)
{
    for (uint32_t o = 0; o < j->chart->n_outputs; o++) {
        const struct chart_output *output = &j->chart->outputs[o];
        bool was = before != NULL && is_on(j, output, before);
        bool on_with = is_on(j, output, with);
        bool on_without = is_on(j, output, without);
        bool *act = acts(j, input, o);

        act[CHART_TURNS_ON] |= !was && on_with && !on_without;
        act[CHART_KEEPS_ON] |= was && on_with && !on_without;
        act[CHART_TURNS_OFF] |= was && !on_with && on_without;
        act[CHART_KEEPS_OFF] |= !was && !on_with && on_without;
    }
}

/* A scan as it is. */
struct scan {
    const int64_t *before, *after;
    const uint32_t *choices;
    const bool *read;
    const int64_t *sensor;
};

/* Every scan that is as this one in all that it reads, but for the input. */
static void turn(struct judge *j, uint32_t input, const struct scan *scan,
                 uint32_t index, bool plain_is_with)
{
    const struct chart_input *of = &j->chart->inputs[input];
    bool fixed[256];
    uint32_t choices[256];
    const struct step_result *step;
    struct step_setting setting = {.fault_limit = j->faults, .whole = true};

    memcpy(fixed, scan->read, j->model->n_choices * sizeof *fixed);
    memcpy(choices, scan->choices, j->model->n_choices * sizeof *choices);
    if (of->kind == CHART_SENSOR) {
        setting.held = 1 + 2 * of->of + index;
    } else {
        fixed[of->row] = true;
        choices[of->row] = index;
    }
    odometer_begin(j->others, &setting, scan->before);
    odometer_fix(j->others, fixed, choices);
    while ((step = odometer_next(j->others)) != NULL && !j->too_large) {
        j->too_large = ++j->ways_used > MOST_WAYS;
        if (step->end != STEP_JUDGED)
            continue;
        note_pair(j, input, scan->before,
                  plain_is_with ? scan->after : j->others->after,
                  plain_is_with ? j->others->after : scan->after);
    }
}

static void note_on(struct judge *j, uint32_t input, const struct scan *scan,
                    bool with, bool without)
{
    for (uint32_t o = 0; o < j->chart->n_outputs; o++) {
        bool on = is_on(j, &j->chart->outputs[o], scan->after);

        acts(j, input, o)[CHART_ON_WITH] |= on && with;
        acts(j, input, o)[CHART_ON_WITHOUT] |= on && without;
    }
}

/* An input that the scan does not read may stand anyhow, and makes no
 * difference. */
static void look_at_row(struct judge *j, uint32_t input,
                        const struct scan *scan)
{
    const struct chart_input *of = &j->chart->inputs[input];
    const struct choice *choice = &j->model->choices[of->row];
    uint32_t index = scan->choices[of->row];
    bool other = of->position == CHART_OTHER;
    bool stands = other ? index != choice->rest : index == of->position;

    if (!scan->read[of->row]) {
        note_on(j, input, scan, true, true);
        return;
    }
    note_on(j, input, scan, stands, !stands);
    for (uint32_t q = 0; stands && q < choice->count; q++)
        if (other ? q == choice->rest : q != of->position)
            turn(j, input, scan, q, true);
}

static void look_at(struct judge *j, const struct scan *scan)
{
    for (uint32_t i = 0; i < j->chart->n_inputs; i++) {
        const struct chart_input *of = &j->chart->inputs[i];

        if (of->kind != CHART_SENSOR) {
            look_at_row(j, i, scan);
            continue;
        }
        bool stands = scan->sensor[of->of] != 0;

        note_on(j, i, scan, stands, !stands);
        turn(j, i, scan, !stands, stands);
    }
}

static void step_all(struct judge *j, const int64_t *from)
{
    const struct step_setting setting = {.fault_limit = j->faults,
                                         .whole = true};
    const struct step_result *step;
    int64_t before[MOST_WORDS];

    if (from != NULL)
        memcpy(before, from, j->words * sizeof *before);
    odometer_begin(j->ways, &setting, from == NULL ? NULL : before);
    while ((step = odometer_next(j->ways)) != NULL && !j->too_large) {
        const struct scan scan = {from == NULL ? NULL : before,
                                  j->ways->after, j->ways->choices,
                                  machine_read_rows(j->plain), step->sensor};

        j->too_large = ++j->ways_used > MOST_WAYS;
        if (step->end != STEP_JUDGED)
            continue;
        look_at(j, &scan);
        keep(j, j->ways->after);
    }
}

static bool judge(struct judge *j, struct arena *arena,
                  const struct chart *chart)
{
    *j = (struct judge){.arena = arena, .chart = chart, .model = chart->model,
                        .faults = chart->faults};
    j->plain = machine_new(arena, j->model);
    j->turned = machine_new(arena, j->model);
    j->ways = odometer_new(arena, j->plain);
    j->others = odometer_new(arena, j->turned);
    j->words = machine_words(j->plain);
    if (j->words > MOST_WORDS || j->model->n_choices > 256)
        return false;
    j->states = arena_array(arena, (size_t)MOST_STATES * j->words,
                            sizeof *j->states);
    j->seen = arena_array(arena,
                          (size_t)chart->n_inputs * chart->n_outputs *
                                  CHART_ACTS + 1, sizeof *j->seen);
    step_all(j, NULL);
    for (uint32_t i = 0; i < j->n && !j->too_large; i++)
        step_all(j, j->states + (size_t)i * j->words);
    return !j->too_large;
}

/* ---- both held against each other ---- */

struct tally {
    unsigned compared, with_faults, sequences, seen[CHART_ACTS], stops, only,
        turned_sensors;
};

static void complain(const struct chart *chart, uint32_t cell, unsigned act,
                     bool judged)
{
    print_message("%s at %u, %s, act %u: the judge %s it, the chart says "
                  "%d\n",
                  chartlist_input_name(
                      chart, &chart->inputs[cell / chart->n_outputs]),
                  (unsigned)chart->inputs[cell / chart->n_outputs].position,
                  chartlist_output_name(
                      chart, &chart->outputs[cell % chart->n_outputs]),
                  act, judged ? "sees" : "never sees",
                  (int)chart->cells[cell].act[act]);
}

static bool same(const struct chart *chart, const struct judge *j,
                 struct tally *tally)
{
    for (uint32_t c = 0; c < chart->n_inputs * chart->n_outputs; c++) {
        bool sensor = chart->inputs[c / chart->n_outputs].kind ==
                      CHART_SENSOR;

        for (unsigned act = 0; act < CHART_ACTS; act++) {
            bool judged = j->seen[(size_t)c * CHART_ACTS + act];

            if (chart->cells[c].act[act] !=
                (judged ? CHART_SEEN : CHART_NEVER)) {
                complain(chart, c, act, judged);
                return false;
            }
            tally->seen[act] += judged;
            tally->turned_sensors += sensor && judged && act < CHART_ON_WITH;
        }
        tally->stops += chart_stops(&chart->cells[c]);
        tally->only += chart_only_with(&chart->cells[c]);
    }
    return true;
}

/* Each is played by the reference interpreter; where assumptions outside
 * leave no way on there may be none. */
static bool has_sequences(struct charting *charting, struct tally *tally)
{
    const struct chart *chart = &charting->chart;

    if (chart->dead_end)
        return true;
    for (uint32_t c = 0; c < chart->n_inputs * chart->n_outputs; c++)
        for (unsigned act = 0; act < CHART_ON_WITH; act++) {
            struct chartshown shown;

            if (chart->cells[c].act[act] != CHART_SEEN)
                continue;
            shown = chartshown_find(charting, c, (enum chart_act)act);
            if (shown.sequence == NULL ||
                charting->study.internal_error != NULL) {
                complain(chart, c, act, true);
                print_message("no sequence: %s\n",
                              charting->study.internal_error);
                return false;
            }
            tally->sequences++;
        }
    return true;
}

struct random_texts {
    struct text control, review;
    struct random_parts parts;
};

static struct loaded *load_texts(const char *control, const char *review)
{
    const struct load_instead instead = {"test.st", control,
                                         strlen(control)};
    const struct load_request request = {
        .path = "test.st", .review = review, .instead = &instead};

    return load_run(&request);
}

static bool try_engine(struct loaded *loaded, enum engine engine,
                       uint32_t faults, struct tally *tally)
{
    const struct study_setting setting = {.engine = engine};
    const struct charting_asked asked = {.setting = &setting,
                                         .faults = faults};
    struct arena *arena = arena_new();
    struct charting charting;
    struct judge j;
    const char *failure = charting_open(&charting, loaded, &asked);
    bool good = true;

    if (failure == NULL) {
        charting_judge(&charting, NULL);
        good = charting.chart.internal_error == NULL;
        if (!good)
            print_message("%s\n", charting.chart.internal_error);
        if (good && charting.chart.stop == STOP_NONE &&
            !charting.chart.errors_open &&
            judge(&j, arena, &charting.chart)) {
            good = same(&charting.chart, &j, tally) &&
                   (engine != ENGINE_SETS ||
                    has_sequences(&charting, tally));
            tally->compared++;
            tally->with_faults += faults > 0;
        }
    }
    charting_close(&charting);
    arena_free(arena);
    return good;
}

static bool try_seed(uint64_t seed, struct tally *tally)
{
    struct text control = {0}, review = {0};
    struct random_parts parts = {.range = seed % 5 == 0,
                                 .loops = seed % 7 == 0,
                                 .every = seed % 6 == 0};
    struct loaded *loaded;
    bool good = true;

    random_review(seed, &control, &review, &parts);
    loaded = load_texts(text_str(&control), text_str(&review));
    if (loaded->model != NULL)
        for (uint32_t faults = 0; faults <= (loaded->model->n_causes > 0);
             faults++)
            good = good &&
                   try_engine(loaded, ENGINE_SETS, faults, tally) &&
                   try_engine(loaded, ENGINE_TILES, faults, tally);
    if (!good)
        print_message("seed %u\n%s\n---\n%s\n", (unsigned)seed,
                      text_str(&control), text_str(&review));
    loaded_free(loaded);
    text_release(&control);
    text_release(&review);
    return good;
}

static void test_random(void **unused)
{
    struct tally tally = {0};

    (void)unused;
    for (uint64_t seed = 1; seed <= SEEDS; seed++)
        assert_true(try_seed(seed, &tally));
    print_message("%u charts compared, %u with faults: on %u, kept on %u, off "
                  "%u, kept off %u, %u stop, %u only with it, %u by a sensor; "
                  "%u sequences\n",
                  tally.compared, tally.with_faults,
                  tally.seen[CHART_TURNS_ON], tally.seen[CHART_KEEPS_ON],
                  tally.seen[CHART_TURNS_OFF], tally.seen[CHART_KEEPS_OFF],
                  tally.stops, tally.only, tally.turned_sensors,
                  tally.sequences);
    assert_true(tally.compared >= WANTED);
    for (unsigned act = 0; act < CHART_ACTS; act++)
        assert_true(tally.seen[act] > 0);
    assert_true(tally.with_faults > 0 && tally.sequences > 0);
    assert_true(tally.stops > 0 && tally.only > 0);
    assert_true(tally.turned_sensors > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
