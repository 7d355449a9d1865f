#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "cli/version.h"
#include "present/report.h"
#include "study/charting.h"
#include "study/check.h"
#include "study/load.h"

static const char help[] =
    "keepclear report [options] -o FILE.html FILE\n\n"
    "Judges every requirement and writes the record of it as one page that "
    "needs nothing else:\nwhat was shown, under which assumptions, what was "
    "not, each requirement with its sequence,\nlines for signatures.\n\n"
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

/* What the record is made of. */
struct judged {
    const struct findings *findings;
    const struct chart *chart;   /* or NULL */
    const struct tested *tested; /* or NULL */
};

static int write(const struct options *options, struct loaded *loaded,
                 const struct judged *judged)
{
    struct report report = report_of(options, loaded, judged->findings);
    struct text text = {0};
    int code;

    report.chart = judged->chart;
    report.tested = judged->tested;
    report_add(&text, &report);
    code = out_result(options->output, &text);
    text_release(&text);
    if (code == 0)
        code = findings_exit_code(judged->findings);
    return code == 0 && judged->chart != NULL
               ? chart_exit_code(judged->chart) : code;
}

static void progress(uint32_t done, uint32_t all)
{
    out_part(done, all, "outputs");
}

/* Cause and effect; a machine that has none is no mistake here. */
static int with_chart(const struct options *options, struct loaded *loaded,
                      struct judged *judged)
{
    struct study_setting setting;
    struct charting_asked asked = {.setting = &setting};
    struct charting charting;
    const char *wrong = NULL;
    int code;

    if (!asked_setting(options, loaded, &setting))
        return CLI_INPUT;
    if (charting_open(&charting, loaded, &asked) == NULL) {
        charting_judge(&charting, progress);
        out_progress_end();
        judged->chart = &charting.chart;
        wrong = charting.chart.internal_error != NULL
                    ? charting.chart.internal_error
                    : charting.study.internal_error;
    }
    code = wrong != NULL ? failed(wrong)
                         : write(options, loaded, judged);
    charting_close(&charting);
    return code;
}

static int judge(const struct options *options, struct loaded *loaded)
{
    int code = needs_review(loaded);
    struct judged judged = {0};

    if (code != 0)
        return code;
    if (!asked_tested(options, loaded, &judged.tested))
        return CLI_INPUT;
    judged.findings = asked_judge(options, loaded, false, NULL, &code);
    if (judged.findings == NULL)
        return code;
    return judged.findings->internal_error != NULL
               ? failed(judged.findings->internal_error)
               : with_chart(options, loaded, &judged);
}

int verb_report(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " control output sentences situations memory "
                            "tested ",
                            argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    return asked_load(&options, options.sentences ? say_back : judge);
}
