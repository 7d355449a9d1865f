#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/only.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/verbs.h"
#include "present/faultcsv.h"
#include "present/faulttable.h"
#include "study/faults.h"
#include "study/load.h"

#include <string.h>

static const char help[] =
    "keepclear faults [options] FILE\n\n"
    "Puts each declared fault into the machine, at every moment, and tells "
    "which requirements\nit breaks, whatever number of faults the requirement "
    "itself names; with NOTICING also by when the machine notices it.\n\n"
    "  --together N      up to N faults at once, 1 to 3 (without it 1): the "
    "smallest sets\n"
    "                    that break a requirement; fewer of them do not\n"
    "  --of F1,F2        these faults only\n"
    "  --only R1,R2      these requirements only\n"
    "  --control FILE    this control text instead of the first one the "
    "review names\n"
    "  --examples        show each shortest sequence as a log sheet, also to a "
    "demand at which\n"
    "                    a fault is not noticed\n"
    "  --as csv          a line for each fault and requirement, to go on "
    "with in a table;\n"
    "                    what people judge is left blank\n"
    "  --engine NAME     sets, tiles or both, as in check\n"
    "  --threads N, --situations N, --memory SIZE as in check\n"
    "  -o FILE           write the result there, whole or not at all\n";

static int read_together(const struct options *options, uint32_t *together)
{
    *together = options->together == 0 ? 1 : (uint32_t)options->together;
    if (options->together <= FAULTS_MOST)
        return 0;
    out_complain("--together takes 1 to %d: sets of more faults at once are "
                 "not studied", FAULTS_MOST);
    return CLI_INPUT;
}

static int show(const struct options *options, const struct loaded *loaded,
                const struct fault_findings *found)
{
    struct text text = {0};
    int code;

    if (found->findings->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     found->findings->internal_error);
        return CLI_INTERNAL;
    }
    if (options->as != NULL)
        faultcsv_add(&text, found, loaded->sources);
    else
        faulttable_add(&text, found, loaded->sources, options->examples);
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : faults_exit_code(found);
}

static int study(const struct options *options, struct loaded *loaded)
{
    struct out_shown shown = {0};
    struct faults_setting setting = {0};
    const struct fault_findings *found;
    bool *of = arena_array(loaded->arena, loaded->model->n_causes + 1,
                           sizeof *of);
    int code = read_together(options, &setting.together);

    if (code != 0)
        return code;
    if (!asked_setting(options, loaded, &setting.study))
        return CLI_INPUT;
    if (options->of != NULL && !only_causes(loaded->model, options->of, of))
        return CLI_INPUT;
    setting.of = options->of != NULL ? of : NULL;
    setting.study.progress = out_progress;
    setting.study.progress_context = &shown;
    os_watch_signals();
    found = faults_study(loaded->arena, loaded->model, &setting,
                         loaded->diags);
    out_progress_end();
    if (found == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return show(options, loaded, found);
}

/* Faults are declared in a review text. */
static int need_faults(const struct options *options, struct loaded *loaded)
{
    if (loaded->model->name == NULL || loaded->model->n_causes == 0) {
        out_complain("no fault is declared in %s: write them in FAULTS of a "
                     "review text", options->path);
        return CLI_INPUT;
    }
    if (loaded->model->n_requirements == 0) {
        out_complain("%s states no requirement: there is nothing that a fault "
                     "could break", options->path);
        return CLI_INPUT;
    }
    return study(options, loaded);
}

int verb_faults(int argc, char **argv)
{
    struct options options = {0};
    int code = options_read(&options,
                            " together of only control examples as output "
                            "engine threads situations memory spelling "
                            "strict without ", argc, argv);

    if (code != 0)
        return code;
    if (options.help)
        return asked_help(help);
    if (options.as != NULL && strcmp(options.as, "csv") != 0) {
        out_complain("--as takes csv here, not '%s'", options.as);
        return CLI_INPUT;
    }
    return asked_load(&options, need_faults);
}
