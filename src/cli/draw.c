#include <string.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/route.h"
#include "cli/shortest.h"
#include "cli/signal.h"
#include "cli/stops.h"
#include "cli/unroll.h"
#include "cli/verbs.h"
#include "present/diagram.h"
#include "present/graphviz.h"
#include "study/branches.h"
#include "study/load.h"
#include "study/map.h"

/* A layout within the limits takes a few seconds. */
static const double LAYOUT_SECONDS = 60;

/* Looked at for branches that nothing reaches, told under the picture. */
enum { BRANCH_SITUATIONS = 30000 };

enum form { FORM_TEXT, FORM_OF_DOT, FORM_SVG };

static const char help[] =
    "keepclear draw [options] FILE\n\n"
    "Draws what is reachable, seen by a few variables: which combinations of "
    "their values occur,\nand what leads from one to the other.  With "
    "--sequence: one sequence as a timing diagram.\n\n"
    "  --sequence R3     the shortest way to break R3, or the example of what "
    "is possible;\n                    --by then adds variables to it\n"
    "  --path R3         the situations, and the shortest way to break R3 "
    "as a path through them\n"
    "  --by NAME,NAME    seen by these: variables of machine, programs and "
    "recorders,\n                    actuators, controls, contacts, sensors; "
    "without it, by the\n                    machine's enumerations, else the "
    "programs', else the actuators\n"
    "  --stops           what each stop stops, and which motion remains "
    "possible\n"
    "  --of STOP,NAME    with --stops: one cell of it, with the shortest "
    "sequence to it;\n                    every,NAME for every stop pressed; "
    "all for all of them\n"
    "  --despite N       with --stops: whichever N declared faults appear\n"
    "  --signal NAME     the ways of a signal; NAME,NAME from one to the "
    "other\n"
    "  --as FORM         svg, dot or text; without it, as the name behind -o "
    "ends, else text\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --situations N    stop beyond N situations: then it is not complete, "
    "and says so\n"
    "  --memory SIZE     such as 4GiB: stop beyond this memory, likewise\n"
    "  -o FILE           write it there, whole or not at all\n\n"
    "exit codes: 0 drawn; 2 the input is wrong, or too much for one picture; "
    "3 not complete;\n4 internal error, or it could not be written\n";

static int read_form(const struct options *options, enum form *form)
{
    static const char *const words[] = {"text", "dot", "svg"};
    const char *path = options->output == NULL ? "" : options->output;

    *form = options_ending(path, ".svg")   ? FORM_SVG
            : options_ending(path, ".dot") ||
                    options_ending(path, ".gv")
                ? FORM_OF_DOT
                : FORM_TEXT;
    if (options->as == NULL)
        return 0;
    for (int i = 0; i < 3; i++)
        if (strcmp(options->as, words[i]) == 0) {
            *form = (enum form)i;
            return 0;
        }
    out_complain("'%s' is not a form of a diagram: --as takes svg, dot or "
                 "text", options->as);
    return CLI_INPUT;
}

/* "--by gap,step" of what would be few enough. */
static void propose(struct text *out, struct loaded *loaded,
                    const struct map *map)
{
    const bool *kept = map_coarser(map, DIAGRAM_MOST_NODES,
                                   DIAGRAM_MOST_EDGES, loaded->arena);
    bool first = true, all = true;

    for (uint32_t i = 0; i < map->n_shown; i++)
        all = all && kept[i];
    if (all) {
        text_add(out, "name a variable with fewer values by --by");
        return;
    }
    text_add(out, "a coarser one: --by ");
    for (uint32_t i = 0; i < map->n_shown; i++) {
        const char *name = map->shown[i].name;

        if (!kept[i])
            continue;
        if (strncmp(name, "READ ", 5) == 0)
            name += 5; /* as it was written */
        text_printf(out, "%s%s", first ? "" : ",", name);
        first = false;
    }
}

static int too_much(struct loaded *loaded, const struct map *map, bool text)
{
    struct text hint = {0};

    propose(&hint, loaded, map);
    out_complain("%s%u combinations and %u ways between them are too much "
                 "for %s (%d and %d can be read)\n   what to do: %s%s",
                 map->too_many ? "more than " : "", map->n_nodes,
                 map->n_edges, text ? "a table" : "a picture",
                 text ? MAP_MOST_NODES : DIAGRAM_MOST_NODES,
                 text ? MAP_MOST_EDGES : DIAGRAM_MOST_EDGES,
                 text_str(&hint),
                 map->too_many ? "" : "; or all of it as a table: --as text");
    text_release(&hint);
    return CLI_INPUT;
}

static int make_svg(struct text *out, const struct map *map,
                    const struct sources *sources)
{
    struct text dot = {0};
    enum os_status status;

    diagram_dot(&dot, map, sources);
    status = graphviz_svg(text_str(&dot), LAYOUT_SECONDS, out);
    text_release(&dot);
    if (status == OS_OK)
        return 0;
    if (status == OS_TIMED_OUT) {
        out_complain("laying out the picture took too long\n   what to do: "
                     "name fewer variables by --by, or use --as text");
        return CLI_INPUT;
    }
    out_complain("the picture could not be laid out: %s\n   what to do: use "
                 "--as text or --as dot", os_explain(status));
    return CLI_INTERNAL;
}

static int make(struct text *out, const struct map *map,
                const struct sources *sources, enum form form)
{
    if (form == FORM_SVG)
        return make_svg(out, map, sources);
    if (form == FORM_OF_DOT)
        diagram_dot(out, map, sources);
    else
        diagram_text(out, map, sources);
    return 0;
}

static int show(const struct options *options, struct loaded *loaded,
                const struct map *map, enum form form)
{
    struct text text = {0};
    int code;

    if (map->too_many || (form != FORM_TEXT && !diagram_fits(map)))
        return too_much(loaded, map, form == FORM_TEXT);
    code = make(&text, map, loaded->sources, form);
    if (code == 0)
        code = out_result(options->output, &text);
    text_release(&text);
    if (code == 0 && map->stop != STOP_NONE)
        out_complain("not complete, as its title says");
    return code != 0 ? code
           : map->stop != STOP_NONE ? CLI_NOT_FINISHED : CLI_KEPT;
}

static int choose(const struct options *options, struct loaded *loaded,
                  struct shown_list *shown)
{
    *shown = options->by != NULL
                 ? shown_read(loaded->arena, loaded->names, loaded->model,
                              options->by)
                 : shown_usual(loaded->arena, loaded->model);
    if (shown->failure == NULL)
        return 0;
    out_complain("%s", shown->failure);
    return CLI_INPUT;
}

static int draw(const struct options *options, struct loaded *loaded,
                enum form form)
{
    struct shortest found = {0};
    struct out_shown last = {0};
    const struct study_setting setting = {
        .most_situations = options->situations,
        .most_bytes = options->memory,
        .interrupted = os_interrupted,
        .progress = out_progress,
        .progress_context = &last,
    };
    struct shown_list shown;
    struct study study;
    const struct map *map;
    struct map with_branches;
    int code = choose(options, loaded, &shown);

    if (code == 0 && options->route != NULL)
        code = shortest_find(options, loaded, options->route, &found);
    if (code != 0)
        return code;
    os_watch_signals();
    if (!study_open(&study, loaded->arena, loaded->model, &setting,
                    loaded->diags))
        return out_diagnostics(loaded) | CLI_INPUT;
    map = map_build(&study, &shown,
                    found.sequence == NULL ? 0 : route_faults(&found));
    with_branches = *map;
    with_branches.path = route_find(&study, map, &found);
    out_progress_end();
    if (study.internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     study.internal_error);
        code = CLI_INTERNAL;
    } else {
        with_branches.taken = branches_judge(&study, rehearse(&study),
                                             BRANCH_SITUATIONS);
        code = show(options, loaded, &with_branches, form);
    }
    study_close(&study);
    return code;
}

/* One picture at a time, and each in the forms that it has. */
static int fits_together(const struct options *options, enum form form)
{
    if (options->sequence != NULL && form == FORM_OF_DOT) {
        out_complain("a sequence is drawn as svg or as text");
        return CLI_INPUT;
    }
    if (options->stops && form == FORM_OF_DOT) {
        out_complain("what the stops stop is drawn as svg or as text");
        return CLI_INPUT;
    }
    if ((options->stops || options->signal != NULL) &&
        (options->sequence != NULL || options->by != NULL ||
         (options->stops && options->signal != NULL))) {
        out_complain("--stops, --signal and --sequence are three pictures: "
                     "one at a time, and --by goes with none of the first "
                     "two");
        return CLI_INPUT;
    }
    if (options->route != NULL &&
        (options->stops || options->signal != NULL ||
         options->sequence != NULL)) {
        out_complain("--path goes through the diagram of situations: without "
                     "--stops, --signal and --sequence");
        return CLI_INPUT;
    }
    if (options->of != NULL && (!options->stops || form != FORM_TEXT)) {
        out_complain("--of tells of a cell of the stop map, as text: with "
                     "--stops");
        return CLI_INPUT;
    }
    if (!options->stops && options->despite != 0) {
        out_complain("--despite goes with --stops alone");
        return CLI_INPUT;
    }
    return 0;
}

static int run(const struct options *options)
{
    const struct load_request request = asked_request(options);
    enum form form;
    int code = read_form(options, &form);
    struct loaded *loaded;

    if (code == 0)
        code = fits_together(options, form);
    if (code != 0)
        return code;
    loaded = load_run(&request);
    code = out_diagnostics(loaded);
    if (code == 0)
        code = options->signal != NULL
                   ? signal_draw(options, loaded,
                                 form == FORM_SVG      ? SIGNAL_AS_SVG
                                 : form == FORM_OF_DOT ? SIGNAL_AS_DOT
                                                       : SIGNAL_AS_TEXT)
               : options->stops ? stops(options, loaded, form == FORM_SVG)
               : options->sequence != NULL
                   ? unroll(options, loaded, form == FORM_SVG)
                   : draw(options, loaded, form);
    loaded_free(loaded);
    return code;
}

int verb_draw(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " files by as control output sequence situations "
                            "memory stops of signal path despite ",
                            argc, argv);

    if (code != 0 || !options.help)
        return code != 0 ? code : run(&options);
    return asked_help(help);
}
