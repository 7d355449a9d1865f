#include "present/caption.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/away.h"
#include "present/untaken.h"
#include "study/map.h"

static const char *why_stopped(enum stop_reason stop)
{
    switch (stop) {
    case STOP_SITUATIONS: return "the limit of situations was met";
    case STOP_MEMORY: return "the limit of memory was met";
    case STOP_SIGNAL: return "the run was interrupted";
    case STOP_ERROR_OPEN:
        return "a run-time error could not be excluded, and some of this may "
               "lie behind it";
    default: return "a limit was met";
    }
}

static void add_shown(struct text *out, const struct map *map)
{
    text_add(out, "Shown by ");
    for (uint32_t i = 0; i < map->n_shown; i++)
        text_printf(out, "%s%s", i == 0 ? "" : ", ", map->shown[i].name);
    if (map->faults == 0)
        text_add(out, ", without faults");
    else
        text_printf(out, ", with up to %u fault%s", map->faults,
                    map->faults == 1 ? "" : "s");
    text_add(out, "; everything else is left out.\n");
}

static void add_amounts(struct text *out, const struct map *map)
{
    amount_of(out, map->n_nodes, "combination");
    text_add(out, ", ");
    amount_of(out, map->n_edges, "way");
    text_add(out, " between them, ");
    amount_of(out, map->coverage.situations, "reachable situation");
    text_add(out, " behind them.\n");
}

void caption_title(struct text *out, const struct map *map)
{
    const struct model *model = map->model;

    if (map->stop != STOP_NONE)
        text_printf(out, "NOT COMPLETE: %s.\n", why_stopped(map->stop));
    if (model->name == NULL)
        text_add(out, "Control text alone, without knowledge of the "
                      "machine\n");
    else
        text_printf(out, "%s%s%s\n", model->name,
                    model->title == NULL ? "" : ": ",
                    model->title == NULL ? "" : model->title);
    add_shown(out, map);
    add_amounts(out, map);
}

void caption_legend(struct text *out, const struct map *map,
                    const struct sources *sources)
{
    text_add(out,
        "A box is a combination that some reachable situation shows at the "
        "end of a scan. Double frame: it can be seen at power-up. An arrow: "
        "from some situation behind the box, not from all of them, one scan "
        "leads there.\n"
        "What stands on an arrow, all of those scans have in common. It is "
        "needed, and it need not be enough: what is left out has a say too. "
        "\"or\": each scan is of one of these kinds. \"and more\", "
        "\"different ways\": there are more kinds than are told here. "
        "\"whatever is operated\": hands and machine do not decide it "
        "alone. Not mentioned: what no scan can do otherwise, power that is "
        "on, and what is at rest of machine, actuators and faults.\n");
    if (map->errors)
        text_add(out, "A run-time error can be reached; ways end there. "
                      "`keepclear check` shows it.\n");
    if (map->errors_away != 0) {
        text_add(out, "All of this holds up to a run-time error that is not "
                      "excluded. It cannot occur before ");
        away_scans(out, map->model, map->errors_away);
        text_add(out, ". `keepclear check` shows it.\n");
    }
    if (map->dead_end)
        text_add(out, "Somewhere the assumptions leave no way to go on. "
                      "`keepclear check` shows it.\n");
    if (map->taken != NULL && sources != NULL)
        untaken_add(out, map->model, map->taken, sources);
}

/* Bytes of the first line of at most `columns`, broken at a blank. */
static size_t line_length(const char *at, size_t n, size_t columns)
{
    size_t best = 0;

    if (text_columns(at, n) <= columns)
        return n;
    for (size_t i = 1; i < n && text_columns(at, i) <= columns; i++)
        if (at[i] == ' ')
            best = i;
    while (best == 0 || (best < n && at[best] != ' '))
        best++; /* a word that is longer than a line stays whole */
    return best;
}

static void wrap_line(struct text *out, const char *at, size_t n,
                      const size_t width[2])
{
    size_t indent = 0;

    for (;;) {
        size_t taken = line_length(at, n, width[0] - indent);

        text_pad(out, ' ', indent);
        text_add_bytes(out, at, taken);
        text_add(out, "\n");
        at += taken;
        n -= taken;
        while (n > 0 && *at == ' ')
            at++, n--;
        if (n == 0)
            return;
        indent = width[1];
    }
}

void caption_wrap(struct text *out, const char *lines, size_t columns,
                  size_t indent)
{
    const size_t width[2] = {columns, indent};

    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n");

        wrap_line(out, lines, n, width);
        lines += n + (lines[n] == '\n');
    }
}
