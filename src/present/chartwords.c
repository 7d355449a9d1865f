#include "present/chartwords.h"

#include <inttypes.h>
#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/conditions.h"
#include "present/openwords.h"
#include "present/say.h"
#include "study/chart.h"
#include "study/chartlist.h"

static const char STOPS[] = "stops", ONLY_WITH[] = "only with it",
                  TURNS_ON[] = "turns on", KEEPS_ON[] = "keeps on",
                  TURNS_OFF[] = "turns off", KEEPS_OFF[] = "keeps off",
                  NOT_KNOWN[] = "not known";

/* ---- inputs and outputs ---- */

void chartwords_input(struct text *out, const struct chart *chart,
                      const struct chart_input *input)
{
    const struct model *model = chart->model;

    if (input->kind == CHART_CONTROL)
        text_add(out, model->controls[input->of].title);
    else if (input->kind == CHART_SENSOR &&
             model->sensors[input->of].title != NULL)
        text_add(out, model->sensors[input->of].title);
    else
        text_add(out, chartlist_input_name(chart, input));
}

void chartwords_output(struct text *out, const struct chart *chart,
                       const struct chart_output *output)
{
    const struct model *model = chart->model;
    const char *title = output->of.actuator == MODEL_NONE
                            ? NULL
                            : model->actuators[output->of.actuator].title;

    text_add(out, title != NULL ? title
                                : chartlist_output_name(chart, output));
    if (type_base(output->type)->kind == TYPE_BOOL)
        return;
    text_add(out, output->other ? " not " : " ");
    say_value(out, output->type, output->value);
}

static void control_at(struct text *out, const struct control *control,
                       const struct choice *choice, uint32_t index)
{
    bool on = choice->values[index] != 0;

    if (control->kind == SIGNAL_STOP)
        text_add(out, on ? "pressed" : "not pressed");
    else if (control->kind == SIGNAL_SWITCH)
        text_add(out, on ? "on" : "off");
    else
        text_add(out, on ? "held" : "not held");
}

void chartwords_at(struct text *out, const struct chart *chart,
                   const struct chart_input *input, uint32_t index)
{
    const struct model *model = chart->model;
    const struct choice *choice;

    if (input->kind == CHART_SENSOR) {
        text_add(out, index != 0 ? "shows TRUE" : "shows FALSE");
        return;
    }
    choice = &model->choices[input->row];
    if (input->kind == CHART_CONTROL &&
        model->controls[input->of].type->kind == TYPE_BOOL) {
        control_at(out, &model->controls[input->of], choice, index);
        return;
    }
    text_add(out, input->kind == CHART_CONTROL ? "at " : "is ");
    say_choice(out, choice, index);
}

void chartwords_position(struct text *out, const struct chart *chart,
                         const struct chart_input *input)
{
    if (input->position != CHART_OTHER) {
        chartwords_at(out, chart, input, input->position);
        return;
    }
    text_add(out, "not ");
    chartwords_at(out, chart, input,
                  chart->model->choices[input->row].rest);
}

/* ---- cells ---- */

static bool seen(const struct chart_cell *cell, enum chart_act act)
{
    return cell->act[act] == CHART_SEEN;
}

unsigned chartwords_cell(const struct chart_cell *cell, const char **words)
{
    bool stops = chart_stops(cell), only = chart_only_with(cell);
    unsigned n = 0;

    if (stops)
        words[n++] = STOPS;
    if (only)
        words[n++] = ONLY_WITH;
    if (seen(cell, CHART_TURNS_ON))
        words[n++] = TURNS_ON;
    if (seen(cell, CHART_KEEPS_ON) && !only)
        words[n++] = KEEPS_ON;
    if (seen(cell, CHART_TURNS_OFF) && !stops)
        words[n++] = TURNS_OFF;
    if (seen(cell, CHART_KEEPS_OFF) && !stops)
        words[n++] = KEEPS_OFF;
    if (chart_open(cell))
        words[n < CHARTWORDS_MOST ? n++ : n - 1] = NOT_KNOWN;
    return n;
}

/* ---- around the chart ---- */

void chartwords_title(struct text *out, const struct chart *chart)
{
    text_add(out, "What each input alone does to each output, ");
    if (chart->faults == 0)
        text_add(out, "without any fault");
    else if (chart->faults == 1)
        text_add(out, "whichever one fault may appear");
    else
        text_printf(out, "whichever %u faults may appear",
                    (unsigned)chart->faults);
}

static bool stands(const struct chart *chart, const char *word)
{
    size_t n = (size_t)chart->n_inputs * chart->n_outputs;

    for (size_t i = 0; i < n; i++) {
        const char *words[CHARTWORDS_MOST];
        unsigned count = chartwords_cell(&chart->cells[i], words);

        for (unsigned k = 0; k < count; k++)
            if (words[k] == word)
                return true;
    }
    return false;
}

unsigned chartwords_meanings(const struct chart *chart,
                             struct chartwords_row *rows)
{
    static const struct chartwords_row all[CHARTWORDS_WORDS] = {
        {STOPS, "whenever the input stands so, the output is off; and at "
                "least once that makes the difference"},
        {ONLY_WITH, "whenever the input does not stand so, the output is off; "
                    "likewise"},
        {TURNS_ON, "the output was off, and is on; it would not be, did the "
                   "input not stand so"},
        {KEEPS_ON, "the output was on, and stays on; it would not, did the "
                   "input not stand so"},
        {TURNS_OFF, "the output was on, and is off; it would not be, did the "
                    "input not stand so"},
        {KEEPS_OFF, "the output was off, and stays off; it would not, did the "
                    "input not stand so"},
        {NOT_KNOWN, "a limit came first"},
    };
    unsigned n = 0;

    for (unsigned i = 0; i < CHARTWORDS_WORDS; i++)
        if (stands(chart, all[i].word))
            rows[n++] = all[i];
    return n;
}

static void add_cut(struct text *out, const struct chart *chart)
{
    if (chart->errors > 0)
        text_printf(out, "Up to a run-time error: %u can be reached, and what "
                         "comes behind was not looked at (check tells "
                         "them).\n", (unsigned)chart->errors);
    if (chart->errors_open)
        text_add(out, "A run-time error could not be excluded; behind it "
                      "nothing of this need be so (check tells it).\n");
    if (chart->dead_end)
        text_add(out, "The assumptions leave no way to go on somewhere: what "
                      "was seen up to there need not be possible (check tells "
                      "where).\n");
    if (chart->stop != STOP_NONE)
        text_add(out, "Not finished: a limit came before all was looked "
                      "at.\n");
}

static void add_open(struct text *out, const struct chart *chart,
                     const struct sources *sources)
{
    const struct model *model = chart->model;
    struct arena *arena = arena_new();
    uint32_t *places = arena_array(arena, model->n_open_places + 1,
                                   sizeof *places);
    const struct leaning all = {places, model->n_open_places};

    for (uint32_t i = 0; i < model->n_open_places; i++)
        places[i] = i;
    if (model->n_open_places > 0)
        text_add(out, "  left open, and taken to come out alike whichever "
                      "way the input stands:\n");
    openwords_leaning(out, model, sources, &all, 4);
    arena_free(arena);
}

/* Without faults those that are declared have no part in it. */
static void add_conditions(struct text *out, const struct chart *chart,
                           const struct sources *sources)
{
    struct arena *arena = arena_new();
    struct model model = *chart->model;
    const struct findings findings = {
        .model = &model,
        .assumption_idle = arena_array(arena, model.n_assumptions + 1,
                                       sizeof(bool)),
        .assumption_unneeded = arena_array(arena, model.n_assumptions + 1,
                                           sizeof(bool))};
    const struct view view = {.findings = &findings, .sources = sources};

    if (chart->faults == 0)
        model.n_faults = model.n_causes = 0;
    conditions_add(out, &view);
    if (chart->faults == 0 && chart->model->n_causes > 0)
        text_printf(out, "  none of the %u faults that are declared\n",
                    (unsigned)chart->model->n_causes);
    arena_free(arena);
}

static void add_looked_at(struct text *out, const struct chart *chart)
{
    if (chart->stop != STOP_NONE)
        return;
    text_add(out, "\nEvery reachable situation was looked at, for each output "
                  "in the part that it reads");
    if (chart->situations > 0 && chart->situations < UINT64_MAX) {
        text_add(out, ": at most ");
        amount_add(out, chart->situations);
    }
    text_add(out, ".\n");
}

static void add_left_out(struct text *out, const struct chart *chart)
{
    for (uint32_t i = 0; i < chart->n_left_out; i++)
        text_printf(out, "%s%s",
                    i == 0 ? "Not in the chart, being numbers of which only "
                             "the ranges are known\nthat texts compare with: "
                           : ", ",
                    chartlist_output_name(chart, &chart->left_out[i]));
    if (chart->n_left_out > 0)
        text_add(out, "\n");
}

void chartwords_limits(struct text *out, const struct chart *chart)
{
    add_cut(out, chart);
    add_left_out(out, chart);
}

void chartwords_conditions(struct text *out, const struct chart *chart,
                           const struct sources *sources)
{
    chartwords_limits(out, chart);
    text_add(out,
             "An input stands so, or does not, in one scan; all else is the "
             "same: what was before, movements,\nfaults, other inputs. A "
             "sensor is turned alone, the machine standing as it does. An "
             "empty cell:\nnever any difference. What comes about in a later "
             "scan, through what is stored, is not shown.\n\n");
    chartwords_stands(out, chart, sources);
}

void chartwords_stands(struct text *out, const struct chart *chart,
                       const struct sources *sources)
{
    add_conditions(out, chart, sources);
    add_open(out, chart, sources);
    add_looked_at(out, chart);
    text_add(out,
             "A design aid: it sees the logic and the wiring that was written "
             "down, no hydraulics, distances,\nstopping times or people it "
             "was not told of, and gives no performance level. Standards in "
             "force,\nlocal law, tests on the machine and the review of a "
             "competent person decide.\n");
}
