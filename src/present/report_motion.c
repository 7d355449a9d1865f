#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "study/chart.h"

/* The stop that a line of the chart is about, or NULL. */
static const struct control *stop_of(const struct chart *chart,
                                     const struct chart_input *input)
{
    const struct control *control =
        input->kind == CHART_CONTROL ? &chart->model->controls[input->of]
                                     : NULL;

    return control != NULL && control->kind == SIGNAL_STOP ? control : NULL;
}

/* The actuator of a column that can move something, or NULL. */
static const struct actuator *mover_of(const struct chart *chart,
                                       const struct chart_output *output)
{
    const struct actuator *actuator =
        output->of.actuator != MODEL_NONE
            ? &chart->model->actuators[output->of.actuator]
            : NULL;
    bool moves = actuator != NULL && (actuator->kind == SIGNAL_VALVE ||
                                      actuator->kind == SIGNAL_MOTOR);

    return moves ? actuator : NULL;
}

/* What is on while the stop is pressed; how many. */
static uint32_t add_movers(struct text *words, const struct chart *chart,
                           uint32_t input, enum chart_state state)
{
    uint32_t n = 0;

    for (uint32_t o = 0; o < chart->n_outputs; o++) {
        const struct chart_cell *cell =
            &chart->cells[(size_t)input * chart->n_outputs + o];
        const struct actuator *mover = mover_of(chart, &chart->outputs[o]);

        if (mover != NULL && cell->act[CHART_ON_WITH] == state)
            text_printf(words, "%s%s", n++ > 0 ? ", " : "", mover->title);
    }
    return n;
}

static void add_stop(struct text *out, const struct chart *chart,
                     uint32_t input, const struct control *stop)
{
    struct text words = {0}, open = {0};
    uint32_t n = add_movers(&words, chart, input, CHART_SEEN);

    if (n == 0)
        text_add(&words, "no valve and no motor");
    if (add_movers(&open, chart, input, CHART_NOT_KNOWN) > 0)
        text_printf(&words, "; not known of: %s", text_str(&open));
    text_release(&open);
    page_named(out, "li", stop->title, text_str(&words));
    text_release(&words);
}

void report_motion(struct text *out, const struct report *report)
{
    const struct chart *chart = report->chart;
    uint32_t n = 0;

    page_element(out, "h3", NULL,
                 "Motion that remains possible while a stop is pressed");
    if (chart != NULL)
        report_chart_limits(out, report);
    page_open(out, "ul", NULL);
    for (uint32_t i = 0; chart != NULL && i < chart->n_inputs; i++) {
        const struct control *stop = stop_of(chart, &chart->inputs[i]);

        if (stop == NULL)
            continue;
        add_stop(out, chart, i, stop);
        n++;
    }
    if (n == 0)
        page_element(out, "li", NULL,
                     chart == NULL ? "Not looked at."
                                   : "No control is declared as a stop.");
    page_close(out, "ul");
    page_element(out, "p", "note",
                 "Valves and motors that are on at some moment at which the "
                 "stop is pressed, without any fault; under which conditions "
                 "tells `keepclear effects --of STOP,OUTPUT`, the text and "
                 "the sequences. What goes on moving with all of them off is "
                 "not looked at.");
}
