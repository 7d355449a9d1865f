#include "cli/stops.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/os.h"
#include "base/text.h"
#include "check/model.h"
#include "cli/asked.h"
#include "cli/exit.h"
#include "cli/options.h"
#include "cli/out.h"
#include "present/stopshownwords.h"
#include "present/stopsvg.h"
#include "present/stoptext.h"
#include "present/stopwords.h"
#include "study/load.h"
#include "study/stopmapping.h"
#include "study/study.h"

static void progress(uint32_t done, uint32_t all)
{
    out_part(done, all, "questions");
}

/* ---- one cell, or all ---- */

static bool is_column(const struct stopmap *map, uint32_t column,
                      const char *name, size_t n)
{
    const struct stopmap_column *of = &map->columns[column];
    const char *called = of->kind == STOPMAP_EVERY
                             ? "every"
                             : map->model->controls[of->of].name->spelling;

    return strlen(called) == n && strncasecmp(called, name, n) == 0;
}

static bool is_line(const struct stopmap *map, uint32_t line,
                    const char *name)
{
    const struct stopmap_line *of = &map->lines[line];

    return strcasecmp(of->part ? map->model->slots[of->of].path
                               : map->model->actuators[of->of].name->spelling,
                      name) == 0;
}

/* What does not stand in the map is said with what does. */
static int not_there(const struct stopmap *map, const char *of)
{
    struct text words = {0};

    for (uint32_t c = 0; c < map->n_columns; c++)
        text_printf(&words, "%s%s", c > 0 ? ", " : "",
                    map->columns[c].kind == STOPMAP_EVERY
                        ? "every"
                        : map->model->controls[map->columns[c].of]
                              .name->spelling);
    text_add(&words, "; and of ");
    for (uint32_t i = 0; i < map->n_lines; i++)
        text_printf(&words, "%s%s", i > 0 ? ", " : "",
                    map->lines[i].part
                        ? map->model->slots[map->lines[i].of].path
                        : map->model->actuators[map->lines[i].of]
                              .name->spelling);
    out_complain("--of '%s' is no cell of the map\n   what to do: name one of "
                 "%s, with a comma between; or write all", of,
                 text_str(&words));
    text_release(&words);
    return CLI_INPUT;
}

static int add_cells(struct text *out, const struct stopmap *map,
                     const char *of)
{
    const char *comma = strchr(of, ',');
    struct arena *arena = arena_new();
    const struct stopnotes notes = stopwords_notes(arena, map, false);
    bool all = strcmp(of, "all") == 0;
    uint32_t n = 0;

    for (uint32_t i = 0; i < map->n_lines; i++)
        for (uint32_t c = 0; c < map->n_columns; c++) {
            if (all ? !stopwords_motion(map, i, c)
                    : comma == NULL || !is_line(map, i, comma + 1) ||
                          !is_column(map, c, of, (size_t)(comma - of)))
                continue;
            stopshownwords_add(out, map, &notes, i, c);
            n++;
        }
    arena_free(arena);
    if (n == 0 && all)
        text_add(out, "No motion remains possible while a stop is "
                      "pressed.\n");
    return n == 0 && !all ? not_there(map, of) : 0;
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
    else if (options->of == NULL)
        stoptext_add(&text, map, loaded->sources);
    code = options->of != NULL ? add_cells(&text, map, options->of) : 0;
    if (code == 0)
        code = out_result(options->output, &text);
    text_release(&text);
    return code != 0 ? code : stopmap_exit_code(map);
}

int stops(const struct options *options, struct loaded *loaded, bool svg)
{
    struct study_setting setting;
    struct stopmapping_asked asked = {.setting = &setting,
                                      .progress = progress,
                                      .sequences = options->of != NULL};
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
