#include "base/text.h"
#include "check/check.h"
#include "check/contents.h"
#include "check/model.h"
#include "cli/alone.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/listed.h"
#include "present/result.h"
#include "study/alone.h"
#include "study/check.h"
#include "study/load.h"

static const char help[] =
    "keepclear check [options] FILE ...\n\n"
    "Judges every requirement of a review text, over every reachable "
    "situation.  For what is\nbroken it shows the shortest way.  A control "
    "text alone (one file or several) is judged for "
    "run-time errors\nand branches nothing can reach; without a PROGRAM each "
    "function and block by itself.\n\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --only R1,R2      these requirements only\n"
    "  --advice          show the remarks of a careful reader: no verdict "
    "depends on them\n"
    "  --reading         list what was read and what was not, and why; judge "
    "nothing\n"
    "  --spelling        tell each spelling that is read although the "
    "standard has another\n"
    "  --strict          such spellings are errors\n"
    "  --tested FILE     a filled test sheet (CSV): say beside each "
    "requirement what\n"
    "                    the test of the machine found\n"
    "  --examples        show a sequence for what is possible, too\n"
    "  --quick           do not look for the assumptions that each requirement "
    "needs\n"
    "  --figures         show how many situations each question took\n"
    "  --engine NAME     sets or tiles; both: to the end, and they must "
    "agree; without it\n"
    "                    both side by side, the first exact answer counts\n"
    "  --threads N       that one engine alone may use (several only with "
    "--engine tiles);\n"
    "                    without it as many as there are cores\n"
    "  --without WHAT    leave a reduction out, to see what it is worth: "
    "sharing (each\n"
    "                    question is run alone), untimed (movement times "
    "count from the\n"
    "                    beginning), saturation (counters count on where "
    "nobody looks),\n"
    "                    slices (each question takes in the whole machine)\n"
    "  --situations N    stop a question beyond N situations: not finished\n"
    "  --memory SIZE     such as 4GiB: stop a question there: not finished\n"
    "  -o FILE           write the result there, whole or not at all\n";

/* A result on its way out. */
struct telling {
    const struct options *options;
    const struct loaded *loaded;
    const struct tested *tested; /* or NULL */
    struct result_told told;
    int code; /* of what was written so far */
};

static struct view view_of(const struct telling *telling,
                           const struct findings *findings)
{
    return (struct view){
        .findings = findings,
        .sources = telling->loaded->sources,
        .figures = telling->options->figures,
        .examples = telling->options->examples,
        .advice = telling->options->advice,
        .tested = telling->tested,
    };
}

/* Verdicts are written as they become known, but to a file, which is there
 * whole or not at all. */
static void tell(void *context, const struct findings *so_far)
{
    struct telling *telling = context;
    const struct view view = view_of(telling, so_far);
    struct text text = {0};

    if (telling->code != 0 || so_far->internal_error != NULL)
        return;
    result_go_on(&text, &view, &telling->told);
    out_progress_end();
    telling->code = out_write(&text);
    text_release(&text);
}

static int show(struct telling *telling, const struct findings *findings)
{
    const struct view view = view_of(telling, findings);
    const char *path = telling->options->output;
    struct text text = {0};
    int code;

    if (findings->internal_error != NULL) {
        out_complain("internal error, %s: %s",
                     telling->told.begun ? "nothing above counts"
                                         : "nothing is shown",
                     findings->internal_error);
        return CLI_INTERNAL;
    }
    if (telling->code != 0)
        return telling->code;
    result_end(&text, &view, &telling->told);
    code = out_result(path, &text);
    text_release(&text);
    return code != 0 ? code : findings_exit_code(findings);
}

static int judge(const struct options *options, struct loaded *loaded)
{
    struct telling telling = {.options = options, .loaded = loaded};
    const struct asked_listener listener = {tell, &telling};
    const struct findings *findings;
    int code;

    if (!asked_tested(options, loaded, &telling.tested))
        return CLI_INPUT;
    findings = asked_judge(options, loaded, options->quick,
                           options->output == NULL ? &listener : NULL, &code);
    return findings == NULL ? code : show(&telling, findings);
}

/* What was read can be listed even when something in it is wrong. */
static int list(const struct options *options)
{
    const struct load_request request = asked_request(options);
    struct loaded *loaded = load_run(&request);
    const struct check_context context = {
        .arena = loaded->arena,
        .names = loaded->names,
        .sources = loaded->sources,
        .diags = loaded->diags,
    };
    const struct contents contents = contents_of(&context, loaded->run);
    struct text text = {0};
    int wrong, code;

    listed_add(&text, &contents, loaded->sources);
    wrong = out_diagnostics(loaded);
    code = out_result(options->output, &text);
    text_release(&text);
    loaded_free(loaded);
    return code != 0 ? code : wrong;
}

static int check_texts(const struct options *options)
{
    const struct load_request request = asked_request(options);
    struct loaded *loaded = load_run(&request);
    const struct alone alone = alone_of(loaded);
    int code;

    if (alone.n > 0)
        code = alone_check(options, loaded, &alone);
    else
        code = out_diagnostics(loaded);
    if (alone.n == 0 && code == 0)
        code = judge(options, loaded);
    loaded_free(loaded);
    return code;
}

int verb_check(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " files spelling strict reading tested "
                            "control only output figures examples advice "
                            "situations memory quick engine threads "
                            "without ",
                            argc, argv);

    if (code != 0)
        return code;
    if (!options.help && options.reading)
        return list(&options);
    if (!options.help)
        return check_texts(&options);
    return asked_help(help);
}
