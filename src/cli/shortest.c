#include "cli/shortest.h"

#include <stdbool.h>
#include <strings.h>

#include "base/arena.h"
#include "base/os.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/noticewords.h"
#include "study/check.h"
#include "study/load.h"

static uint32_t find(const struct model *model, const char *name)
{
    for (uint32_t r = 0; r < model->n_requirements; r++)
        if (strcasecmp(model->requirements[r].name->spelling, name) == 0)
            return r;
    return MODEL_NONE;
}

static int take(struct arena *arena, const struct findings *findings,
                struct shortest *found)
{
    const struct requirement_finding *finding = &findings->requirements[0];
    const struct requirement *requirement =
        &findings->model->requirements[finding->requirement];
    bool possible = requirement->form >= FORM_POSSIBLE;

    if (findings->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     findings->internal_error);
        return CLI_INTERNAL;
    }
    found->findings = findings;
    found->sequence = finding->sequence;
    found->requirement = finding->requirement;
    found->breach = !possible;
    found->impossible =
        possible && finding->verdict == VERDICT_BROKEN;
    found->name = requirement->name->spelling;
    found->title = requirement->title;
    found->what = !possible ? noticewords_way(finding)
                  : finding->verdict == VERDICT_BROKEN
                      ? "after this it can never be brought about"
                      : "an example";
    found->at_end = arena_printf(
        arena, !possible && finding->stop == STOP_LEANS
               ? "%s is broken, if what is left open comes out so"
               : !possible ? "%s is broken"
               : finding->verdict == VERDICT_BROKEN
                   ? "from here on %s can never be brought about"
                   : "this is what %s asks for", found->name);
    if (found->sequence != NULL)
        return 0;
    out_complain("%s is %s: there is no sequence to show", found->name,
                 verdict_words(finding->verdict));
    return finding->verdict == VERDICT_NOT_FINISHED ||
                   finding->verdict == VERDICT_NOT_DECIDED
               ? CLI_NOT_FINISHED : CLI_INPUT;
}

int shortest_find(const struct options *options, const struct loaded *loaded,
                  const char *requirement, struct shortest *found)
{
    const struct model *model = loaded->model;
    bool *only = arena_array(loaded->arena, model->n_requirements + 1,
                             sizeof *only);
    struct out_shown shown = {0};
    const struct study_setting setting = {
        .most_situations = options->situations,
        .most_bytes = options->memory,
        .interrupted = os_interrupted,
        .progress = out_progress,
        .progress_context = &shown,
        .only = only,
        .engine = options->engine,
        .threads = options_threads(options),
    };
    uint32_t number = find(model, requirement);
    const struct findings *findings;

    if (number == MODEL_NONE) {
        out_complain("there is no requirement '%s' in this review",
                     requirement);
        return CLI_INPUT;
    }
    only[number] = true;
    os_watch_signals();
    findings = check_model(loaded->arena, model, &setting, loaded->diags);
    out_progress_end();
    if (findings == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return take(loaded->arena, findings, found);
}
