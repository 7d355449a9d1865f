#include <string.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/only.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/result.h"
#include "source/diag.h"
#include "study/check.h"
#include "study/load.h"

static const char help[] =
    "keepclear check [options] FILE\n\n"
    "Judges every requirement of a review text, over every reachable "
    "situation.  For what is\nbroken it shows the shortest way.  A control "
    "text alone is judged for run-time errors\nand branches nothing can "
    "reach.\n\n"
    "  --control FILE    this control text instead of the one the review "
    "names\n"
    "  --only R1,R2      these requirements only\n"
    "  --examples        show a sequence for what is possible, too\n"
    "  --quick           do not look for the assumptions that each requirement "
    "needs\n"
    "  --figures         show how many situations each question took\n"
    "  --situations N    stop a question beyond N situations: not finished\n"
    "  --memory MIB      stop a question beyond this memory: not finished\n"
    "  -o FILE           write the result there, whole or not at all\n";

static int show(const struct options *options, const struct loaded *loaded,
                const struct findings *findings)
{
    const struct view view = {
        .findings = findings,
        .sources = loaded->sources,
        .figures = options->figures,
        .examples = options->examples,
    };
    struct text text = {0};
    int code;

    if (findings->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     findings->internal_error);
        return CLI_INTERNAL;
    }
    result_add(&text, &view);
    code = options->output != NULL ? out_file(options->output, &text)
                                   : out_write(&text);
    text_release(&text);
    return code != 0 ? code : findings_exit_code(findings);
}

static int judge(const struct options *options, const struct loaded *loaded)
{
    const struct model *model = loaded->model;
    bool *only = arena_array(loaded->arena, model->n_requirements + 1,
                             sizeof *only);
    const struct study_setting setting = {
        .most_situations = options->situations,
        .most_bytes = options->memory,
        .interrupted = os_interrupted,
        .progress = out_progress,
        .quick = options->quick,
        .only = options->only == NULL ? NULL : only,
    };
    const struct findings *findings;

    if (options->only != NULL && !only_mark(model, options->only, only))
        return CLI_INPUT;
    os_watch_signals();
    findings = check_model(loaded->arena, model, &setting, loaded->diags);
    out_progress_end();
    if (findings == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return show(options, loaded, findings);
}

static int run(const struct options *options)
{
    const struct load_request request = {
        .path = options->path, .control = options->control};
    struct loaded *loaded = load_run(&request);
    int code = out_diagnostics(loaded);

    if (code == 0)
        code = judge(options, loaded);
    loaded_free(loaded);
    return code;
}

int verb_check(int argc, char **argv)
{
    struct options options = {0};
    struct text text = {0};
    int code = options_read(&options,
                            " control only output figures examples "
                            "situations memory quick ",
                            argc, argv);

    if (code != 0 || !options.help)
        return code != 0 ? code : run(&options);
    text_add(&text, help);
    code = out_write(&text);
    text_release(&text);
    return code;
}
