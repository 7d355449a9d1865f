#include "cli/asked.h"

#include <string.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/only.h"
#include "cli/out.h"
#include "study/check.h"
#include "study/load.h"

struct load_request asked_request(const struct options *options)
{
    return (struct load_request){
        .path = options->path,
        .control = options->control,
        .more = options->more,
        .n_more = options->n_more,
        .spelling = options->strict     ? TREE_STRICT
                    : options->spelling ? TREE_TELL_SPELLING
                                        : TREE_ANY_SPELLING,
    };
}

int asked_load(const struct options *options, asked_job *job)
{
    const struct load_request request = asked_request(options);
    struct loaded *loaded = load_run(&request);
    int code = out_diagnostics(loaded);

    if (code == 0)
        code = job(options, loaded);
    loaded_free(loaded);
    return code;
}

/* Reductions that are left out, so that their worth and their harmlessness
 * can be seen. */
static bool read_without(const char *list, struct study_setting *setting)
{
    static const char *const names[] = {"sharing", "untimed", "saturation",
                                        "slices"};
    bool *const sets[] = {&setting->alone, &setting->timed,
                          &setting->whole, &setting->entire};
    enum { N = sizeof sets / sizeof *sets };

    for (const char *at = list; at != NULL && *at != '\0';) {
        size_t n = strcspn(at, ",");
        int i = 0;

        while (i < N && (n != strlen(names[i]) || strncmp(at, names[i], n)))
            i++;
        if (i == N) {
            out_complain("--without takes sharing, untimed, saturation and "
                         "slices, one or several with commas, not '%.*s'",
                         (int)n, at);
            return false;
        }
        *sets[i] = true;
        at += n + (at[n] == ',');
    }
    return true;
}

bool asked_setting(const struct options *options, struct loaded *loaded,
                   struct study_setting *setting)
{
    const struct model *model = loaded->model;
    bool *only = arena_array(loaded->arena, model->n_requirements + 1,
                             sizeof *only);

    *setting = (struct study_setting){
        .most_situations = options->situations,
        .most_bytes = options->memory,
        .interrupted = os_interrupted,
        .engine = options->engine,
        .threads = options_threads(options),
        .only = options->only == NULL ? NULL : only,
    };
    return read_without(options->without, setting) &&
           (options->only == NULL || only_mark(model, options->only, only));
}

const struct findings *asked_judge(const struct options *options,
                                   struct loaded *loaded, bool quick,
                                   const struct asked_listener *listener,
                                   int *code)
{
    struct out_shown shown = {0};
    struct study_setting setting;
    const struct findings *findings;

    *code = CLI_INPUT;
    if (!asked_setting(options, loaded, &setting))
        return NULL;
    setting.quick = quick;
    setting.progress = out_progress;
    setting.progress_context = &shown;
    setting.found = listener == NULL ? NULL : listener->found;
    setting.found_context = listener == NULL ? NULL : listener->context;
    os_watch_signals();
    findings = check_model(loaded->arena, loaded->model, &setting,
                           loaded->diags);
    out_progress_end();
    if (findings == NULL)
        *code = out_diagnostics(loaded) | CLI_INPUT;
    return findings;
}

int asked_faults(const struct options *options, const struct model *model,
                 uint32_t *faults)
{
    *faults = 0;
    if (options->despite == 0)
        return 0;
    if (model->n_causes == 0) {
        out_complain("no fault is declared in %s that --despite could let "
                     "appear", options->path);
        return CLI_INPUT;
    }
    *faults = options->despite < model->n_causes ? (uint32_t)options->despite
                                                 : model->n_causes;
    return 0;
}

int asked_help(const char *help)
{
    struct text text = {0};
    int code;

    text_add(&text, help);
    code = out_write(&text);
    text_release(&text);
    return code;
}
