#include "cli/stops.h"

#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/stopsvg.h"
#include "present/stoptext.h"
#include "study/load.h"
#include "study/stopmapping.h"
#include "study/study.h"

static void progress(uint32_t done, uint32_t all)
{
    out_part(done, all, "questions");
}

static int show(const struct options *options, const struct loaded *loaded,
                const struct stopmap *map, bool svg)
{
    struct text text = {0};
    int code;

    if (map->internal_error != NULL) {
        out_complain("internal error, nothing is shown: %s",
                     map->internal_error);
        return CLI_INTERNAL;
    }
    if (svg)
        stopsvg_add(&text, map);
    else
        stoptext_add(&text, map, loaded->sources);
    code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : stopmap_exit_code(map);
}

int stops(const struct options *options, struct loaded *loaded, bool svg)
{
    struct study_setting setting;
    struct stopmapping_asked asked = {.setting = &setting,
                                      .progress = progress};
    const struct stopmap *map;

    if (loaded->model->name == NULL) {
        out_complain("a stop map is made of a review text, which says what is "
                     "a stop, and this is a control text\n   what to do: "
                     "`keepclear begin` writes a first review text");
        return CLI_INPUT;
    }
    if (!asked_setting(options, loaded, &setting) ||
        asked_faults(options, loaded->model, &asked.faults) != 0)
        return CLI_INPUT;
    os_watch_signals();
    map = stopmapping_make(loaded, &asked);
    out_progress_end();
    if (map == NULL)
        return out_diagnostics(loaded) | CLI_INPUT;
    return show(options, loaded, map, svg);
}
