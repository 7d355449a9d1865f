#include "cli/unroll.h"

#include <string.h>

#include "base/arena.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "cli/shortest.h"
#include "present/decisive.h"
#include "present/lanes.h"
#include "present/timing.h"
#include "present/timing_text.h"
#include "reference/replay.h"
#include "study/load.h"
#include "study/shown.h"
#include "study/why.h"

/* Does the terminal, by its environment, show more than ASCII? */
static bool is_plain(void)
{
    static const char *const names[] = {"LC_ALL", "LC_CTYPE", "LANG"};

    for (int i = 0; i < 3; i++) {
        const char *value = os_environment(names[i]);

        if (value != NULL && *value != '\0')
            return strstr(value, "UTF-8") == NULL &&
                   strstr(value, "utf8") == NULL &&
                   strstr(value, "UTF8") == NULL &&
                   strstr(value, "utf-8") == NULL;
    }
    return true;
}

static int draw(const struct options *options, const struct loaded *loaded,
                const struct shortest *found, bool picture)
{
    struct arena *arena = loaded->arena;
    const struct shown_list by =
        options->by == NULL ? (struct shown_list){0}
                            : shown_read(arena, loaded->names, loaded->model,
                                         options->by);
    const struct lanes lanes =
        lanes_make(arena, found->findings, found->sequence, &by);
    struct timing timing = {
        .lanes = &lanes,
        .title = arena_printf(arena, "%s  %s", found->name, found->title),
        .what = arena_printf(arena, "%s, %u scan%s", found->what,
                             found->sequence->n_scans,
                             found->sequence->n_scans == 1 ? "" : "s"),
        .at_end = found->at_end,
    };
    struct text text = {0};
    int code;

    if (found->breach)
        timing.marks = decisive_marks(
            arena, loaded->model,
            why_broken(arena, loaded->model, found->requirement,
                       found->sequence), &timing.n_marks);
    if (picture)
        timing_svg(&text, &timing);
    else
        timing_text(&text, &timing, is_plain());
    code = out_result(options->output, &text);
    text_release(&text);
    return code;
}

int unroll(const struct options *options, const struct loaded *loaded,
           bool picture)
{
    struct shortest found;
    int code = 0;

    if (options->by != NULL) { /* before the search, which may take long */
        const struct shown_list by = shown_read(
            loaded->arena, loaded->names, loaded->model, options->by);

        if (by.failure != NULL) {
            out_complain("%s", by.failure);
            return CLI_INPUT;
        }
    }
    code = shortest_find(options, loaded, options->sequence, &found);
    return code != 0 ? code : draw(options, loaded, &found, picture);
}
