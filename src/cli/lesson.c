#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/shortest.h"
#include "cli/verbs.h"
#include "cli/version.h"
#include "cli/wording.h"
#include "present/lessonpage.h"
#include "present/lessonwords.h"
#include "present/naming.h"
#include "source/source.h"
#include "study/lesson.h"
#include "study/load.h"
#include "study/outing.h"
#include "study/scenario.h"

static const char help[] =
    "keepclear lesson [options] -o FILE.html FILE\n\n"
    "Writes a page on which a crew operates the machine: stations with "
    "controls to be held, what\nthe control switches and why, faults, the "
    "scenarios of the review text to be walked\nthrough and printed.  One "
    "file; it needs no network, and tells its stories without scripts.\n\n"
    "  --text FILE       the text of the lesson, with the stories that it "
    "names\n"
    "  --broken R3       the shortest way to break R3 as a story, too\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --language de     German words; without it English ones\n"
    "  --words FILE      words of the page that take the place of the "
    "shipped ones\n"
    "  --as words        write the table of words, to be changed, and no "
    "page\n"
    "  --names FILE      titles of controls, requirements and the like in "
    "another language\n"
    "  --as names        write the titles that are there, to be changed, and "
    "no page\n"
    "  --situations N    stop the search for a way beyond N situations\n"
    "  --memory SIZE     such as 4GiB, stop it beyond\n"
    "  -o FILE           write it there, whole or not at all\n\n"
    "exit codes: 0 written; 2 the input is wrong; 3 a way was not found in "
    "the limits;\n4 internal error, or the page could not be written\n";

/* A page being made. */
struct making {
    struct arena *arena;
    const struct options *options;
    VEC(struct lesson_machine) machines;
    VEC(const char *) controls; /* of each machine but the first: as named */
    VEC(struct lesson_story) stories;
    VEC(struct scenario_result *) played;
    struct words *words;
    struct plan plan;
    uint32_t *told;
};

/* ---- machines ---- */

/* Its control texts by name; those of a review text are the first ones. */
static const char *title_of(struct making *m,
                            const struct lesson_machine *machine,
                            bool changed)
{
    const struct sources *sources = machine->loaded->sources;
    struct text title = {0}, names = {0};
    const char *kept;

    for (uint32_t f = 2; f <= sources_count(sources); f++)
        if (sources_cause(sources, f).file == 0)
            text_printf(&names, "%s%s", names.n > 0 ? ", " : "",
                        naming_file(sources, f));
    if (changed)
        lessonwords_put(&title, m->words, "changed", text_str(&names), NULL);
    else
        text_add(&title, text_str(&names));
    kept = arena_copy(m->arena, text_str(&title), title.n);
    text_release(&names);
    text_release(&title);
    return kept;
}

static int ready(struct making *m, struct lesson_machine *machine)
{
    struct loaded *loaded = machine->loaded;
    struct outing *outing = ARENA_NEW(m->arena, struct outing);

    if (loaded->model->name == NULL) {
        out_complain("a lesson is made of a review text, and this is a "
                     "control text\n   what to do: `keepclear begin` writes "
                     "a first review text");
        return CLI_INPUT;
    }
    machine->logic = lesson_logic(loaded->arena, loaded->model,
                                  loaded->diags);
    if (machine->logic == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    outing_open(outing, loaded->arena, loaded->model);
    machine->outing = outing;
    return 0;
}

/* control: NULL, what the options say. */
static int add_machine(struct making *m, const char *control)
{
    struct load_request request = asked_request(m->options);
    struct lesson_machine machine = {0};
    int code;

    if (control != NULL)
        request.control = control;
    machine.loaded = load_run(&request);
    code = out_diagnostics(machine.loaded);
    if (code == 0)
        code = wording_names(machine.loaded->arena, m->options,
                             &machine.loaded->model);
    if (code == 0)
        code = ready(m, &machine);
    if (code == 0)
        machine.title = title_of(m, &machine, control != NULL);
    vec_push(&m->machines, machine);
    vec_push(&m->controls, control);
    return code;
}

/* The machine with that control text, made when it is new. */
static int find_machine(struct making *m, const char *control, uint32_t *at)
{
    for (size_t i = 0; i < m->controls.n; i++) {
        const char *known = m->controls.at[i];

        if (known == control || (known != NULL && control != NULL &&
                                 strcmp(known, control) == 0)) {
            *at = (uint32_t)i;
            return 0;
        }
    }
    *at = (uint32_t)m->machines.n;
    return add_machine(m, control);
}

/* ---- stories ---- */

static void add_scenario(struct making *m, uint32_t machine,
                         const struct scenario *scenario)
{
    struct loaded *loaded = m->machines.at[machine].loaded;
    struct scenario_result *played =
        scenario_play(loaded->arena, loaded->model, scenario);
    const struct lesson_story story = {
        .machine = machine, .title = scenario->title,
        .findings = &played->outing->findings,
        .replay = &played->outing->replay, .played = played};

    vec_push(&m->played, played);
    vec_push(&m->stories, story);
}

static const struct scenario *find_scenario(const struct model *model,
                                            const char *name)
{
    for (uint32_t i = 0; i < model->n_scenarios; i++)
        if (strcasecmp(model->scenarios[i].name->spelling, name) == 0)
            return &model->scenarios[i];
    return NULL;
}

static int add_way(struct making *m, uint32_t machine,
                   const char *requirement)
{
    const struct loaded *loaded = m->machines.at[machine].loaded;
    struct shortest found;
    struct text title = {0};
    int code = shortest_find(m->options, loaded, requirement, &found);
    struct lesson_story story = {.machine = machine};

    if (code != 0)
        return code;
    lessonwords_put(&title, m->words,
                    found.breach       ? "shortest_way"
                    : found.impossible ? "no_way_out" : "example_of",
                    found.name, found.title);
    story.title = arena_copy(m->arena, text_str(&title), title.n);
    story.findings = found.findings;
    story.replay = found.sequence;
    vec_push(&m->stories, story);
    text_release(&title);
    return 0;
}

static int tell(struct making *m, const struct plan_line *line)
{
    const struct scenario *scenario;
    uint32_t machine;
    int code = find_machine(m, line->control, &machine);

    if (code != 0)
        return code;
    if (line->kind == PLAN_BREAK)
        return add_way(m, machine, line->words);
    scenario = find_scenario(m->machines.at[machine].loaded->model,
                             line->words);
    if (scenario == NULL) {
        out_complain("%s, line %u: there is no scenario '%s'\n   what to do: "
                     "name one of the review text", m->options->text,
                     line->line, line->words);
        return CLI_INPUT;
    }
    add_scenario(m, machine, scenario);
    return 0;
}

static int tell_plan(struct making *m)
{
    m->told = arena_array(m->arena, m->plan.n + 1, sizeof *m->told);
    for (uint32_t i = 0; i < m->plan.n; i++) {
        int code;

        if (m->plan.lines[i].kind < PLAN_PLAY)
            continue;
        m->told[i] = (uint32_t)m->stories.n;
        code = tell(m, &m->plan.lines[i]);
        if (code != 0)
            return code;
    }
    return 0;
}

static bool was_told(const struct making *m, const struct scenario *scenario)
{
    for (size_t i = 0; i < m->stories.n; i++)
        if (m->stories.at[i].played != NULL &&
            m->stories.at[i].played->scenario == scenario)
            return true;
    return false;
}

static int tell_all(struct making *m)
{
    const struct model *model = m->machines.at[0].loaded->model;
    int code = tell_plan(m);

    for (uint32_t i = 0; code == 0 && i < model->n_scenarios; i++)
        if (!was_told(m, &model->scenarios[i]))
            add_scenario(m, 0, &model->scenarios[i]);
    if (code == 0 && m->options->broken != NULL)
        code = add_way(m, 0, m->options->broken);
    return code;
}

/* ---- texts of the trainer ---- */

/* Control texts are named as seen from the folder of the lesson. */
static void place_controls(struct making *m)
{
    const char *path = m->options->text, *slash = strrchr(path, '/');
    struct plan_line *lines = arena_array(m->arena, m->plan.n + 1,
                                          sizeof *lines);

    for (uint32_t i = 0; i < m->plan.n; i++) {
        lines[i] = m->plan.lines[i];
        if (lines[i].control != NULL && slash != NULL &&
            lines[i].control[0] != '/')
            lines[i].control = arena_printf(m->arena, "%.*s%s",
                                            (int)(slash + 1 - path), path,
                                            lines[i].control);
    }
    m->plan.lines = lines;
}

static int read_plan(struct making *m)
{
    struct text content = {0};
    int code = 0;

    if (m->options->text == NULL)
        return 0;
    code = wording_file(m->options->text, &content);
    if (code == 0) {
        m->plan = lessonplan_read(m->arena, text_str(&content), content.n);
        place_controls(m);
    }
    if (code == 0 && m->plan.failure != NULL) {
        out_complain("%s, line %u: %s", m->options->text, m->plan.wrong,
                     m->plan.failure);
        code = CLI_INPUT;
    }
    text_release(&content);
    return code;
}

/* ---- the whole ---- */

static int write(struct making *m)
{
    const struct lesson lesson = {
        .arena = m->arena,
        .words = m->words,
        .tool = version_words(),
        .machines = m->machines.at,
        .n_machines = (uint32_t)m->machines.n,
        .stories = m->stories.at,
        .n_stories = (uint32_t)m->stories.n,
        .plan = m->options->text != NULL ? &m->plan : NULL,
        .told = m->told,
    };
    struct text page = {0};
    int code;

    lessonpage_add(&page, &lesson);
    code = out_result(m->options->output, &page);
    text_release(&page);
    return code;
}

static void let_go(struct making *m)
{
    for (size_t i = 0; i < m->played.n; i++)
        scenario_release(m->played.at[i]);
    for (size_t i = 0; i < m->machines.n; i++) {
        if (m->machines.at[i].outing != NULL)
            outing_close(m->machines.at[i].outing);
        lesson_release(m->machines.at[i].logic);
        loaded_free(m->machines.at[i].loaded);
    }
    vec_release(&m->played);
    vec_release(&m->machines);
    vec_release(&m->controls);
    vec_release(&m->stories);
    arena_free(m->arena);
}

static bool asks_for(const struct making *m, const char *table)
{
    return m->options->as != NULL && strcmp(m->options->as, table) == 0;
}

static int make(struct making *m)
{
    int code = wording_read(m->arena, m->options, lessonwords_table(),
                            &m->words);

    if (code == 0 && asks_for(m, "words"))
        return wording_write(m->options, m->words);
    if (code == 0)
        code = read_plan(m);
    if (code == 0)
        code = add_machine(m, NULL);
    if (code == 0 && asks_for(m, "names"))
        return wording_write_names(m->options,
                                   m->machines.at[0].loaded->model);
    if (code == 0)
        code = tell_all(m);
    return code == 0 ? write(m) : code;
}

int verb_lesson(int argc, char **argv)
{
    struct options options = {0};
    struct making making = {.options = &options};
    int code = options_read(&options,
                            " text broken control language words names "
                            "as situations memory output ", argc, argv);

    if (code != 0 || options.help)
        return code != 0 ? code : asked_help(help);
    if (options.as != NULL && strcmp(options.as, "words") != 0 &&
        strcmp(options.as, "names") != 0) {
        out_complain("--as takes words or names, not '%s'", options.as);
        return CLI_INPUT;
    }
    making.arena = arena_new();
    code = make(&making);
    let_go(&making);
    return code;
}
