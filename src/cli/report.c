#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/comparing.h"
#include "cli/exit.h"
#include "cli/keeping.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/unchanged.h"
#include "cli/verbs.h"
#include "cli/version.h"
#include "present/report.h"
#include "study/caught.h"
#include "study/charting.h"
#include "study/check.h"
#include "study/faults.h"
#include "study/fitting.h"
#include "study/load.h"
#include "study/stopmapping.h"
#include "study/unguarded.h"

static const char help[] =
    "keepclear report [options] -o FILE.html FILE\n\n"
    "Judges every requirement and writes the record of it as one page that "
    "needs nothing else:\nwhat was shown, under which assumptions, what was "
    "not, what each stop stops, each\nrequirement with its sequences, lines "
    "for signatures.\n\n"
    "  --with LIST       what takes longer, with commas: faults (each single "
    "fault), unguarded\n                    (logic that no requirement "
    "protects, and for each requirement a wrong\n                    change "
    "that it catches); the record says what was left out\n"
    "  --signed FILE     the control text, or the review text, that was "
    "signed before: what\n                    changed since\n"
    "  --loaded WORDS    your statement how the text that is looked at and "
    "the one in the\n                    controller agree; without it, a "
    "line to be filled in\n"
    "  --folder DIR      instead of -o: a new folder with the record as page "
    "and as text,\n                    copies of all texts that were read, "
    "and how to repeat it\n"
    "  --sentences       the review text as plain sentences, for somebody who "
    "did not write it;\n                    judge nothing\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --situations N    stop a question beyond N situations: not finished\n"
    "  --memory SIZE     such as 4GiB: stop a question there: not finished\n"
    "  --tested FILE     a filled test sheet (CSV): say beside each "
    "requirement what\n"
    "                    the test of the machine found\n"
    "  -o FILE           write it there, whole or not at all\n";

/* Of a program that cannot be read back there is none. */
static const char *digest_of_program(struct arena *arena)
{
    enum { MOST = 256 << 20 };
    struct text bytes = {0}, digest = {0};
    const char *kept = NULL;

    if (os_read_file("/proc/self/exe", MOST, &bytes) == OS_OK) {
        digest_add(&digest, text_str(&bytes), bytes.n);
        kept = arena_copy(arena, text_str(&digest), digest.n);
    }
    text_release(&bytes);
    text_release(&digest);
    return kept;
}

static const char *command(const struct options *options,
                           struct loaded *loaded)
{
    struct arena *arena = loaded->arena;
    const char *line = "keepclear report";

    if (options->with != NULL)
        line = arena_printf(arena, "%s --with %s", line, options->with);
    if (options->before != NULL)
        line = arena_printf(arena, "%s --signed %s", line, options->before);
    if (options->loaded != NULL)
        line = arena_printf(arena, "%s --loaded '%s'", line, options->loaded);
    if (options->tested != NULL)
        line = arena_printf(arena, "%s --tested %s", line, options->tested);
    if (options->control != NULL)
        line = arena_printf(arena, "%s --control %s", line, options->control);
    if (options->situations != 0)
        line = arena_printf(arena, "%s --situations %llu", line,
                            (unsigned long long)options->situations);
    if (options->memory != 0)
        line = arena_printf(arena, "%s --memory %lluMiB", line,
                            (unsigned long long)(options->memory >> 20));
    return arena_printf(arena, "%s %s", line, options->path);
}

/* What is judged, and the files as they were then. */
struct judging {
    const struct options *options;
    struct loaded *loaded;
    const struct unchanged *noted;
};

static struct report report_of(const struct options *options,
                               struct loaded *loaded,
                               const struct findings *findings)
{
    return (struct report){
        .arena = loaded->arena,
        .findings = findings,
        .sources = loaded->sources,
        .tool = version_words(),
        .digest = digest_of_program(loaded->arena),
        .command = command(options, loaded),
        .loaded = options->loaded,
    };
}

static int needs_review(const struct loaded *loaded)
{
    if (loaded->model->name != NULL)
        return 0;
    out_complain("a record is made of a review text, and this is a control "
                 "text\n   what to do: `keepclear begin` writes a first "
                 "review text");
    return CLI_INPUT;
}

static int say_back(const struct options *options, struct loaded *loaded)
{
    const struct findings nothing = {.model = loaded->model};
    const struct report report = report_of(options, loaded, &nothing);
    struct text text = {0};
    int code = needs_review(loaded);

    if (code == 0) {
        report_sentences(&text, &report);
        code = out_result(options->output, &text);
    }
    text_release(&text);
    return code;
}

/* An internal error: nothing is written. */
static int failed(const char *what)
{
    out_complain("internal error, nothing is written: %s", what);
    return CLI_INTERNAL;
}

/* All that a record is made of. */
struct making {
    const struct options *options;
    struct loaded *loaded;
    struct study_setting setting;
    struct report report;
    struct charting charting;
    struct caught *caught;
    struct text compared;
    int code; /* of what the record holds: 3, or 0 */
};

static void progress(uint32_t done, uint32_t all)
{
    out_part(done, all, "parts of the charts");
}

/* A wrong exit code of a part that could not be made at all. */
static int lost(const struct making *m)
{
    return out_diagnostics(m->loaded) | CLI_INPUT;
}

/* What is there but not finished counts; what differs, or is unguarded, is
 * what was asked for. */
static void note(struct making *m, int code)
{
    if (code == CLI_NOT_FINISHED)
        m->code = CLI_NOT_FINISHED;
}

/* Cause and effect; a machine that has none is no mistake here. */
static int add_chart(struct making *m)
{
    const struct charting_asked asked = {.setting = &m->setting};
    const char *wrong;

    if (charting_open(&m->charting, m->loaded, &asked) != NULL)
        return 0;
    charting_judge(&m->charting, progress);
    out_progress_end();
    m->report.chart = &m->charting.chart;
    wrong = m->charting.chart.internal_error != NULL
                ? m->charting.chart.internal_error
                : m->charting.study.internal_error;
    note(m, wrong == NULL ? chart_exit_code(&m->charting.chart) : 0);
    return wrong != NULL ? failed(wrong) : 0;
}

static int add_stops(struct making *m)
{
    const struct stopmapping_asked asked = {.setting = &m->setting,
                                            .progress = progress,
                                            .sequences = true};

    m->report.stops = stopmapping_make(m->loaded, &asked);
    out_progress_end();
    if (m->report.stops == NULL)
        return lost(m);
    if (m->report.stops->internal_error != NULL)
        return failed(m->report.stops->internal_error);
    note(m, stopmap_exit_code(m->report.stops));
    return 0;
}

static int add_fittings(struct making *m)
{
    m->report.fittings = fitting_find(m->loaded, &m->setting);
    if (m->report.fittings == NULL)
        return lost(m);
    return m->report.fittings->internal_error != NULL
               ? failed(m->report.fittings->internal_error) : 0;
}

static void judged(void *context, uint32_t done, uint32_t all)
{
    (void)context;
    out_part(done, all, "parts");
}

static int add_faults(struct making *m)
{
    const struct faults_setting setting = {.study = m->setting,
                                           .together = 1, .judged = judged};
    const struct fault_findings *found;

    if (m->loaded->model->n_causes == 0 ||
        m->loaded->model->n_requirements == 0)
        return 0;
    found = faults_study(m->loaded->arena, m->loaded->model, &setting,
                         m->loaded->diags);
    out_progress_end();
    if (found == NULL)
        return lost(m);
    if (found->findings->internal_error != NULL)
        return failed(found->findings->internal_error);
    m->report.faults = found;
    note(m, faults_exit_code(found));
    return 0;
}

static int add_unguarded(struct making *m)
{
    const struct load_request request = asked_request(m->options);
    const struct unguarded_setting setting = {
        .study = m->setting, .every = true, .progress = judged};
    const struct unguarded_findings *found;

    if (m->loaded->model->n_requirements == 0)
        return 0;
    found = unguarded_study(m->loaded, &request, &setting);
    out_progress_end();
    if (found == NULL)
        return lost(m);
    if (found->internal_error != NULL)
        return failed(found->internal_error);
    m->report.unguarded = found;
    m->report.caught = m->caught =
        caught_find(m->loaded, &request, &m->setting, found);
    note(m, unguarded_exit_code(found));
    return 0;
}

static int add_compared(struct making *m)
{
    struct options options = *m->options;
    char *more[] = {(char *)options.path};
    int code;

    if (options.before == NULL)
        return 0;
    if (options_ending(options.before, ".review")) {
        options.path = options.before;
        options.more = more;
        options.n_more = 1;
        options.before = NULL;
    }
    options.quick = true;
    code = comparing_run(&options, &m->compared);
    if (code == CLI_INPUT || code == CLI_INTERNAL)
        return code;
    m->report.compared = (struct report_compared){
        m->options->before, text_str(&m->compared),
        code != CLI_NOT_FINISHED};
    note(m, code);
    return 0;
}

static bool asks_for(const struct options *options, const char *part)
{
    const char *at = options->with == NULL ? "" : options->with;

    while (*at != '\0') {
        size_t n = strcspn(at, ",");

        if (n == strlen(part) && strncmp(at, part, n) == 0)
            return true;
        at += n + (at[n] == ',');
    }
    return false;
}

static int add_parts(struct making *m)
{
    int code = add_chart(m);

    if (code == 0)
        code = add_stops(m);
    if (code == 0)
        code = add_fittings(m);
    if (code == 0 && asks_for(m->options, "faults"))
        code = add_faults(m);
    if (code == 0 && asks_for(m->options, "unguarded"))
        code = add_unguarded(m);
    return code == 0 ? add_compared(m) : code;
}

static int write(struct making *m)
{
    struct text text = {0};
    int code;

    report_add(&text, &m->report);
    code = m->options->folder != NULL
               ? keeping_write(m->options, m->loaded, &m->report, &text)
               : out_result(m->options->output, &text);
    text_release(&text);
    if (code == 0)
        code = findings_exit_code(m->report.findings);
    return code == 0 ? m->code : code;
}

/* What went wrong may come of that, too. */
static int still_same(const struct unchanged *noted, int code)
{
    const char *changed = unchanged_first(noted);

    if (changed == NULL || code == CLI_INTERNAL)
        return code;
    out_complain("'%s' was changed while it was looked at: nothing is "
                 "written\n   what to do: call it again, on texts that stay "
                 "as they are", changed);
    return CLI_INPUT;
}

static int make(const struct judging *judging, const struct findings *findings,
                const struct tested *tested)
{
    const struct options *options = judging->options;
    struct loaded *loaded = judging->loaded;
    struct making m = {.options = options, .loaded = loaded,
                       .report = report_of(options, loaded, findings)};
    int code;

    m.report.tested = tested;
    if (!asked_setting(options, loaded, &m.setting))
        return CLI_INPUT;
    code = still_same(judging->noted, add_parts(&m));
    if (code == 0)
        code = write(&m);
    charting_close(&m.charting);
    caught_release(m.caught, loaded->model->n_requirements);
    text_release(&m.compared);
    return code;
}

static int judge(const struct options *options, struct loaded *loaded)
{
    const struct judging judging = {
        options, loaded, unchanged_note(loaded->arena, loaded->sources)};
    int code = needs_review(loaded);
    const struct findings *findings;
    const struct tested *tested;

    if (code != 0)
        return code;
    if (!asked_tested(options, loaded, &tested))
        return CLI_INPUT;
    findings = asked_judge(options, loaded, false, NULL, &code);
    if (findings == NULL)
        return code;
    return findings->internal_error != NULL
               ? failed(findings->internal_error)
               : make(&judging, findings, tested);
}

static bool is_there(const char *path)
{
    struct text bytes = {0};
    enum os_status status = os_read_file(path, 1, &bytes);

    text_release(&bytes);
    return status != OS_NOT_FOUND;
}

/* Every word of --with is known, and things go together. */
static int read_parts(const struct options *options)
{
    const char *at = options->with == NULL ? "" : options->with;

    while (*at != '\0') {
        size_t n = strcspn(at, ",");

        if (!(n == 6 && strncmp(at, "faults", n) == 0) &&
            !(n == 9 && strncmp(at, "unguarded", n) == 0)) {
            out_complain("--with takes faults and unguarded, with a comma "
                         "between, not '%.*s'", (int)n, at);
            return CLI_INPUT;
        }
        at += n + (at[n] == ',');
    }
    if (options->folder != NULL && options->output != NULL) {
        out_complain("--folder has the record in it: it goes without -o");
        return CLI_INPUT;
    }
    if (options->folder != NULL && is_there(options->folder)) {
        out_complain("'%s' is there already: --folder makes a new folder",
                     options->folder);
        return CLI_INPUT;
    }
    if (options->before != NULL && options->control != NULL &&
        options_ending(options->before, ".review")) {
        out_complain("--signed with a review text compares the control texts "
                     "that both name: it goes without --control");
        return CLI_INPUT;
    }
    return 0;
}

int verb_report(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " control output sentences situations memory with "
                            "signed loaded folder tested ",
                            argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    code = read_parts(&options);
    return code != 0 ? code
                     : asked_load(&options,
                                  options.sentences ? say_back : judge);
}
