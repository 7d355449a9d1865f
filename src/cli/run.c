#include <stdio.h>
#include <strings.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/shortest.h"
#include "cli/verbs.h"
#include "present/causes.h"
#include "present/live.h"
#include "present/played.h"
#include "present/script.h"
#include "study/load.h"
#include "study/scenario.h"
#include "study/outing.h"
#include "study/spoken.h"

enum { LONGEST_LINE = 1000 };

static const char help[] =
    "keepclear run [options] FILE\n\n"
    "Runs the machine by hand, scan by scan: type `help` for the words.  "
    "Nothing is judged beyond\nwhat is played; `check` looks at every "
    "situation.\n\n"
    "  --scenario NAME   play this SCENARIO of the review text and tell "
    "whether all went as\n                    expected; NAME all: every one\n"
    "  --broken R3       load the shortest way to break R3 (or the example "
    "of what is\n                    possible), to be walked with `next` and "
    "`back`\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --situations N    with --broken: stop the search beyond N "
    "situations\n"
    "  --memory SIZE     with --broken: such as 4GiB, stop it beyond\n"
    "  -o FILE           with --scenario: write the result there, whole or "
    "not at all\n\n"
    "exit codes: 0 done, with --scenario all as expected; 1 not as "
    "expected; 2 the input is\nwrong; 3 not finished; 4 internal error, or "
    "the result could not be written\n";

/* ---- scenarios ---- */

static int no_scenario(const struct model *model, const char *name)
{
    struct text names = {0};

    for (uint32_t i = 0; i < model->n_scenarios; i++)
        text_printf(&names, "%s%s", i > 0 ? ", " : "",
                    model->scenarios[i].name->spelling);
    if (model->n_scenarios == 0)
        out_complain("this text has no SCENARIO\n   what to do: write one, "
                     "or run by hand and save it");
    else
        out_complain("there is no scenario '%s'\n   what to do: name one of "
                     "%s, or all", name, text_str(&names));
    text_release(&names);
    return CLI_INPUT;
}

static int play(const struct options *options, const struct loaded *loaded)
{
    const struct model *model = loaded->model;
    bool all = strcasecmp(options->scenario, "all") == 0;
    struct text text = {0};
    uint32_t played = 0, good = 0;
    int code;

    for (uint32_t i = 0; i < model->n_scenarios; i++) {
        const struct scenario *scenario = &model->scenarios[i];
        struct scenario_result *result;

        if (!all && strcasecmp(scenario->name->spelling,
                               options->scenario) != 0)
            continue;
        result = scenario_play(loaded->arena, model, scenario);
        played_add(&text, loaded->sources, result);
        played++;
        good += result->as_expected;
        scenario_release(result);
    }
    if (played == 0)
        return no_scenario(model, options->scenario);
    if (played > 1)
        text_printf(&text, "%u of %u scenarios as expected\n", good, played);
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : good == played ? 0 : CLI_BROKEN;
}

/* ---- by hand ---- */

struct table {
    const struct loaded *loaded;
    struct outing outing;
    struct text said; /* of the line at hand */
    uint32_t saved;   /* scenarios written so far */
};

static void run_scans(struct table *t, int64_t scans)
{
    uint32_t from = t->outing.replay.n_scans, which;
    enum outing_end end = OUTING_RAN;

    while (scans-- > 0 && end == OUTING_RAN && !os_interrupted())
        end = outing_run(&t->outing, NULL, &which);
    live_scans(&t->said, &t->outing, from);
    if (end != OUTING_RAN)
        live_refused(&t->said, &t->outing, t->loaded->sources, end, which);
}

static void run_next(struct table *t, int64_t scans)
{
    uint32_t from = t->outing.replay.n_scans;
    const struct replay *sequence = t->outing.sequence;

    while (scans-- > 0 && outing_next(&t->outing))
        ;
    live_scans(&t->said, &t->outing, from);
    if (t->outing.replay.n_scans > from)
        return;
    text_add(&t->said, sequence == NULL
        ? "no sequence is loaded: begin with --broken\n"
        : t->outing.replay.n_scans >= sequence->n_scans
            ? "this is the end of the sequence\n"
            : "the sequence was left: take the scans of your own back\n");
}

static void go_back(struct table *t, int64_t scans)
{
    uint32_t n = t->outing.replay.n_scans;

    outing_back(&t->outing, scans > n ? 0 : n - (uint32_t)scans);
    live_show(&t->said, &t->outing);
}

static void set(struct table *t, const struct spoken *spoken)
{
    if (spoken->kind == SPOKEN_START && t->outing.replay.n_scans > 0)
        text_add(&t->said, "power is on already: take all scans back "
                           "first\n");
    else if (!outing_set(&t->outing, spoken->row, spoken->value))
        text_printf(&t->said, "'%s' never has this value\n", spoken->name);
}

static void appear(struct table *t, const struct spoken *spoken)
{
    uint32_t n = t->outing.replay.n_scans;
    const struct fault *fault = &t->outing.model.faults[spoken->row];

    if (fault->timing != TIMING_INTERMITTENT && n > 0 &&
        outing_fault_present(&t->outing, n - 1, spoken->row))
        text_printf(&t->said, "%s is present already\n", spoken->name);
    else if (!outing_fault(&t->outing, spoken->row))
        text_printf(&t->said, "%s is there from power-up or never: take all "
                              "scans back first\n", spoken->name);
}

static void switch_power(struct table *t, bool off)
{
    if (off && t->outing.replay.n_scans == 0)
        text_add(&t->said, "the first scan has power: wait first\n");
    else
        outing_power(&t->outing, off);
}

static void explain(struct table *t, uint32_t slot)
{
    const struct why *why = outing_why(&t->outing, slot);

    if (why == NULL)
        text_add(&t->said, "nothing was run yet: wait first\n");
    else
        causes_add(&t->said, why, t->loaded->sources);
}

static void save(struct table *t, const char *path)
{
    struct text script = {0};
    char name[32];

    if (t->outing.replay.n_scans == 0) {
        text_add(&t->said, "nothing was run yet that could be saved\n");
        return;
    }
    snprintf(name, sizeof name, "ByHand%u", ++t->saved);
    script_add(&script, &t->outing, name);
    if (out_file(path, &script) == 0)
        text_printf(&t->said, "written to %s: SCENARIO %s\n", path, name);
    text_release(&script);
}

static void act(struct table *t, const struct spoken *spoken)
{
    switch (spoken->kind) {
    case SPOKEN_WRONG:
        text_printf(&t->said, "%s\n", spoken->failure);
        return;
    case SPOKEN_HOLD: case SPOKEN_RELEASE: case SPOKEN_TURN:
    case SPOKEN_SET: case SPOKEN_START: set(t, spoken); return;
    case SPOKEN_MOVE:
        if (!outing_move(&t->outing, spoken->row, spoken->value))
            text_printf(&t->said, "%s stands there already\n", spoken->name);
        return;
    case SPOKEN_FAULT: appear(t, spoken); return;
    case SPOKEN_POWER: switch_power(t, spoken->value == 0); return;
    case SPOKEN_PACE: outing_pace(&t->outing, spoken->value); return;
    case SPOKEN_WAIT: run_scans(t, spoken->value); return;
    case SPOKEN_NEXT: run_next(t, spoken->value); return;
    case SPOKEN_BACK: go_back(t, spoken->value); return;
    case SPOKEN_SHOW: live_show(&t->said, &t->outing); return;
    case SPOKEN_WHY: explain(t, spoken->row); return;
    case SPOKEN_SAVE: save(t, spoken->name); return;
    case SPOKEN_HELP: spoken_help(&t->said, &t->outing); return;
    case SPOKEN_NOTHING: case SPOKEN_QUIT: return;
    }
}

/* A line that was not typed at a terminal is shown, so that the record can
 * be read. */
static int answer(struct table *t, const struct text *line, bool typed,
                  bool *quit)
{
    const struct spoken spoken =
        spoken_read(t->loaded->arena, t->loaded->names, &t->outing,
                    text_str(line));
    int code;

    text_clear(&t->said);
    if (!typed)
        text_printf(&t->said, "> %s\n", text_str(line));
    act(t, &spoken);
    *quit = spoken.kind == SPOKEN_QUIT;
    code = out_write(&t->said);
    return code;
}

static int talk(struct table *t)
{
    bool typed = os_is_terminal(OS_IN), quit = false;
    struct text line = {0};
    int code = 0;

    while (!quit && code == 0) {
        enum os_status status;

        if (typed)
            os_write_err("> ", 2);
        status = os_read_line(LONGEST_LINE, &line);
        if (status == OS_CLOSED)
            break;
        if (status == OS_OK)
            code = answer(t, &line, typed, &quit);
        else
            out_complain("this line is too long and was not read");
    }
    text_release(&line);
    return code;
}

static int load_sequence(struct table *t, const struct options *options)
{
    struct shortest found;
    int code;

    if (options->broken == NULL)
        return 0;
    code = shortest_find(options, t->loaded, options->broken, &found);
    if (code != 0)
        return code;
    outing_load(&t->outing, found.sequence);
    text_printf(&t->said, "%s %s\n%s, %u scan%s: next runs one of them\n",
                found.name, found.title, found.what,
                found.sequence->n_scans,
                found.sequence->n_scans == 1 ? "" : "s");
    return 0;
}

static int by_hand(const struct options *options,
                   const struct loaded *loaded)
{
    struct table t = {.loaded = loaded};
    const struct model *model = loaded->model;
    int code;

    outing_open(&t.outing, loaded->arena, model);
    text_printf(&t.said, "%s%s%s, a scan takes T#%lldms%s; help lists the "
                "words\n", model->name == NULL ? "Control text alone"
                                               : model->name,
                model->title == NULL ? "" : ": ",
                model->title == NULL ? "" : model->title,
                (long long)model->scan,
                pace_row(model) == MODEL_NONE ? ""
                                              : ", the longest that it may");
    code = load_sequence(&t, options);
    if (code == 0)
        code = out_write(&t.said);
    if (code == 0)
        code = talk(&t);
    outing_close(&t.outing);
    text_release(&t.said);
    return code;
}

/* ---- the verb ---- */

static int run(const struct options *options)
{
    const struct load_request request = asked_request(options);
    struct loaded *loaded;
    int code;

    if (options->scenario == NULL && options->output != NULL) {
        out_complain("-o belongs to --scenario; by hand, `save FILE` "
                     "writes");
        return CLI_INPUT;
    }
    loaded = load_run(&request);
    code = out_diagnostics(loaded);
    if (code == 0)
        code = options->scenario != NULL ? play(options, loaded)
                                         : by_hand(options, loaded);
    loaded_free(loaded);
    return code;
}

int verb_run(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " files scenario broken control output situations "
                            "memory ", argc, argv);

    if (code != 0 || !options.help)
        return code != 0 ? code : run(&options);
    return asked_help(help);
}
