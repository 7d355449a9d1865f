#include <string.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/chartsvg.h"
#include "present/charttext.h"
#include "study/charting.h"
#include "study/chartshown.h"
#include "study/load.h"

static const char help[] =
    "keepclear effects [options] FILE\n\n"
    "Cause and effect: what each input alone does to each output, over every "
    "reachable\nsituation.  Inputs down, outputs across: turns on, keeps on, "
    "turns off, keeps off; and\nwhether it always stops the output, or the "
    "output is on only with it.\n\n"
    "  --of INPUT,OUTPUT what one input does to one output, each with its "
    "shortest sequence;\n"
    "                    names as the texts spell them\n"
    "  --despite N       with up to N of the declared faults, whichever and "
    "whenever; without\n"
    "                    it, without any fault\n"
    "  --as FORM         text, csv or svg; without it, as the name behind -o "
    "ends, else text\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --engine NAME     sets, tiles or both, as in check\n"
    "  --threads N, --situations N, --memory SIZE as in check; a limit counts "
    "for each question\n"
    "  -o FILE           write the result there, whole or not at all\n\n"
    "exit codes: 0 all of it is known; 2 the input is wrong; 3 not all is "
    "known, or an error or\nassumptions that leave no way on cut it short; 4 "
    "internal error\n";

enum chart_form { CHART_TEXT, CHART_CSV, CHART_SVG };

static int read_form(const struct options *options, enum chart_form *form)
{
    static const char *const words[] = {"text", "csv", "svg"};
    const char *path = options->output == NULL ? "" : options->output;

    *form = options_ending(path, ".svg")   ? CHART_SVG
            : options_ending(path, ".csv") ? CHART_CSV
                                    : CHART_TEXT;
    for (int i = 0; options->as != NULL; i++) {
        if (i == 3) {
            out_complain("'%s' is not a form of a chart: --as takes text, csv "
                         "or svg", options->as);
            return CLI_INPUT;
        }
        *form = (enum chart_form)i;
        if (strcmp(options->as, words[i]) == 0)
            break;
    }
    if (options->of == NULL || *form == CHART_TEXT)
        return 0;
    out_complain("--of tells of one input and one output, as text; the whole "
                 "chart comes as csv or svg");
    return CLI_INPUT;
}

static int read_of(const struct options *options, struct loaded *loaded,
                   struct charting_asked *asked)
{
    const char *comma;

    if (options->of == NULL)
        return 0;
    comma = strchr(options->of, ',');
    if (comma == NULL || comma == options->of || comma[1] == '\0' ||
        strchr(comma + 1, ',') != NULL) {
        out_complain("--of takes one input and one output, such as --of "
                     "stop_left,lower_valve, not '%s'", options->of);
        return CLI_INPUT;
    }
    asked->input = arena_printf(loaded->arena, "%.*s",
                                (int)(comma - options->of), options->of);
    asked->output = comma + 1;
    return 0;
}

/* Each act that is seen, with its sequence. */
static void add_cell(struct text *out, struct charting *charting,
                     uint32_t cell)
{
    const struct chart *chart = &charting->chart;

    charttext_always(out, chart, cell);
    for (unsigned act = 0; act < CHART_ON_WITH; act++) {
        struct chartshown shown;

        if (chart->cells[cell].act[act] != CHART_SEEN)
            continue;
        shown = chartshown_find(charting, cell, (enum chart_act)act);
        if (shown.sequence != NULL)
            charttext_act(out, chart, cell, (enum chart_act)act, &shown);
        else
            charttext_lost(out, chart, cell, (enum chart_act)act);
    }
}

static void add_cells(struct text *out, struct charting *charting,
                      const struct sources *sources)
{
    const struct chart *chart = &charting->chart;

    charttext_begin(out, chart);
    for (uint32_t i = 0; i < chart->n_inputs * chart->n_outputs; i++)
        add_cell(out, charting, i);
    charttext_end(out, chart, sources);
}

static int show(const struct options *options, const struct loaded *loaded,
                struct charting *charting, enum chart_form form)
{
    const struct chart *chart = &charting->chart;
    struct text text = {0};
    int code = 0;

    if (options->of != NULL && chart->internal_error == NULL)
        add_cells(&text, charting, loaded->sources);
    else if (form == CHART_CSV)
        charttext_csv(&text, chart);
    else if (form == CHART_SVG)
        chartsvg_add(&text, chart);
    else
        charttext_add(&text, chart, loaded->sources);
    if (chart->internal_error != NULL ||
        charting->study.internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     chart->internal_error != NULL
                         ? chart->internal_error
                         : charting->study.internal_error);
        code = CLI_INTERNAL;
    } else {
        code = out_result(options->output, &text);
    }
    text_release(&text);
    return code != 0 ? code : chart_exit_code(chart);
}

static void progress(uint32_t done, uint32_t all)
{
    out_part(done, all, "outputs");
}

static int study(const struct options *options, struct loaded *loaded)
{
    struct study_setting setting;
    struct charting_asked asked = {.setting = &setting};
    struct charting charting;
    enum chart_form form;
    const char *failure;
    int code = read_form(options, &form);

    if (code == 0)
        code = asked_faults(options, loaded->model, &asked.faults);
    if (code == 0)
        code = read_of(options, loaded, &asked);
    if (code != 0)
        return code;
    if (!asked_setting(options, loaded, &setting))
        return CLI_INPUT;
    os_watch_signals();
    failure = charting_open(&charting, loaded, &asked);
    if (failure == NULL) {
        charting_judge(&charting, progress);
        out_progress_end();
        code = show(options, loaded, &charting, form);
    } else {
        if (*failure != '\0')
            out_complain("%s", failure);
        code = out_diagnostics(loaded) | CLI_INPUT;
    }
    charting_close(&charting);
    return code;
}

int verb_effects(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " files of despite as control output engine "
                            "threads situations memory without spelling "
                            "strict ",
                            argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    return asked_load(&options, study);
}
