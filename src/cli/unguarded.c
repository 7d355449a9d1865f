#include "study/unguarded.h"

#include <string.h>

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/unguardedwords.h"
#include "study/load.h"

static const char help[] =
    "keepclear unguarded [options] FILE\n\n"
    "How well do the requirements protect the logic?  Changes every operator, "
    "constant,\ncondition and assignment of the control text, one at a time, "
    "and tells of each changed\ntext whether it is the same under this "
    "review, or a requirement notices it, or it is\nunguarded: an output "
    "differs and no requirement notices.  ACCEPTED in the review text\nsays "
    "which of these are harmless, and why.\n\n"
    "  --every           ask every requirement about each change, not only "
    "up to the first\n"
    "                    that notices it: who notices how much, and what "
    "alone\n"
    "  --one-in N        look at every N-th change only, for a first "
    "impression\n"
    "  --examples        show each change, not only those that are open\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --as csv          a line for each change\n"
    "  --engine NAME     sets, tiles or both, as in check\n"
    "  --threads N       look at N changes at a time, each in a process of its "
    "own; without\n"
    "                    it as many as there are cores\n"
    "  --situations N, --memory SIZE as in check; a limit counts for each "
    "question\n"
    "  -o FILE           write the result there, whole or not at all\n\n"
    "exit codes: 0 nothing is unguarded; 1 something is; 2 the input is "
    "wrong; 3 of something\nit is not known; 4 internal error\n";

static int show(const struct options *options, const struct loaded *loaded,
                const struct unguarded_findings *found)
{
    struct text text = {0};
    int code;

    if (found->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     found->internal_error);
        return CLI_INTERNAL;
    }
    if (options->as != NULL)
        unguarded_csv(&text, found, loaded->sources);
    else
        unguarded_add(&text, found, loaded->sources, options->examples);
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : unguarded_exit_code(found);
}

static void progress(void *context, uint32_t done, uint32_t all)
{
    (void)context;
    out_part(done, all, "changes");
}

static int study(const struct options *options, struct loaded *loaded)
{
    const struct load_request request = asked_request(options);
    struct unguarded_setting setting = {
        .every = options->every, .progress = progress,
        .one_in = options->one_in < UINT32_MAX ? (uint32_t)options->one_in
                                               : UINT32_MAX};
    const struct unguarded_findings *found;

    if (loaded->model->n_requirements == 0) {
        out_complain("%s states no requirement: there is nothing that could "
                     "protect the logic", options->path);
        return CLI_INPUT;
    }
    if (!asked_setting(options, loaded, &setting.study))
        return CLI_INPUT;
    os_watch_signals();
    found = unguarded_study(loaded, &request, &setting);
    out_progress_end();
    if (found == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return show(options, loaded, found);
}

int verb_unguarded(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " every one-in control examples as output engine "
                            "threads situations memory spelling strict ",
                            argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    if (options.as != NULL && strcmp(options.as, "csv") != 0) {
        out_complain("--as takes csv here, not '%s'", options.as);
        return CLI_INPUT;
    }
    return asked_load(&options, study);
}
