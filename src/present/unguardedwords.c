#include "present/unguardedwords.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/csv.h"
#include "present/naming.h"
#include "present/quote.h"
#include "study/unguarded.h"

struct view {
    struct text *out;
    const struct unguarded_findings *found;
    const struct sources *sources;
    bool all;
};

static bool is_open(const struct change_finding *finding)
{
    return finding->state == CHANGE_UNGUARDED ||
           finding->state == CHANGE_HARMLESS ||
           finding->state == CHANGE_NOT_KNOWN;
}

static void add_difference(struct text *out,
                           const struct change_finding *finding)
{
    if (finding->output == NULL)
        return;
    text_printf(out, "%s %s, within %u scan%s", finding->output,
                !finding->boolean ? "gets another value"
                : finding->more   ? "is told to be on where it was off"
                                  : "is told to be off where it was on",
                finding->level, finding->level == 1 ? "" : "s");
}

static void add_noticed(struct text *out,
                        const struct unguarded_findings *found,
                        const struct change_finding *finding)
{
    const char *between = "";

    if (finding->error) {
        text_add(out, "a run-time error");
        between = ", ";
    }
    for (uint32_t r = 0; r < found->model->n_requirements; r++)
        if (finding->noticed[r]) {
            text_printf(out, "%s%s", between,
                        found->model->requirements[r].name->spelling);
            between = ", ";
        }
}

static void add_state(struct text *out,
                      const struct unguarded_findings *found,
                      const struct change_finding *finding)
{
    switch (finding->state) {
    case CHANGE_SAME:
        text_add(out, "the same under this review");
        break;
    case CHANGE_NOTICED:
        text_add(out, found->every ? "noticed by " : "noticed first by ");
        add_noticed(out, found, finding);
        break;
    case CHANGE_UNGUARDED:
        text_add(out, "unguarded: ");
        add_difference(out, finding);
        break;
    case CHANGE_HARMLESS:
        text_printf(out, "harmless: %s", finding->harmless->because);
        if (finding->harmless->confirmed_by != NULL)
            text_printf(out, ", confirmed by %s",
                        finding->harmless->confirmed_by);
        text_add(out, "\n             ");
        add_difference(out, finding);
        break;
    case CHANGE_NOT_KNOWN:
        text_printf(out, "not known: %s", finding->reason);
        if (finding->output != NULL)
            text_add(out, "; ");
        add_difference(out, finding);
        break;
    default:
        text_printf(out, "not accepted: %s", finding->reason);
        break;
    }
}

static void add_change(const struct view *view,
                       const struct change_finding *finding)
{
    struct text *out = view->out;

    text_printf(out, "         > %s\n             ", finding->change->name);
    add_state(out, view->found, finding);
    text_add(out, "\n");
}

/* ---- the text with its marks ---- */

static uint32_t line_of(const struct view *view, uint32_t i)
{
    return sources_place(view->sources,
                         view->found->changes[i].change->at).line;
}

static bool is_shown(const struct view *view, uint32_t i)
{
    return view->found->changes[i].looked &&
           (view->all || is_open(&view->found->changes[i]));
}

static void add_line(const struct view *view, uint32_t file, uint32_t line)
{
    size_t n;
    const char *at = sources_line(view->sources, file, line, &n);

    text_printf(view->out, "  %5u  ", line);
    text_add_bytes(view->out, at, n);
    text_add(view->out, "\n");
}

/* Lines between the marks: one before each, and a mark where some are left
 * out. */
static void add_gap(const struct view *view, uint32_t file, uint32_t last,
                    uint32_t line)
{
    if (line > last + 2)
        text_add(view->out, "      …\n");
    if (line > last + 1)
        add_line(view, file, line - 1);
}

static void add_text(const struct view *view)
{
    const struct unguarded_findings *found = view->found;
    uint32_t file = 0, last = 0;

    for (uint32_t i = 0; i < found->n; i++) {
        const struct change *change = found->changes[i].change;
        uint32_t line = line_of(view, i);

        if (!is_shown(view, i))
            continue;
        if (change->at.file != file) {
            text_printf(view->out, "%s%s\n", file == 0 ? "" : "\n",
                        sources_path(view->sources, change->at.file));
            file = change->at.file;
            last = 0;
        }
        if (line != last) {
            add_gap(view, file, last, line);
            add_line(view, file, line);
        }
        last = line;
        add_change(view, &found->changes[i]);
    }
    if (file != 0)
        text_add(view->out, "\n");
}

/* ---- reasons ---- */

static void add_idle(const struct view *view)
{
    const struct unguarded_findings *found = view->found;

    if (found->n_idle > 0)
        text_add(view->out, "ACCEPTED as harmless, and not unguarded\n");
    for (uint32_t i = 0; i < found->n_idle; i++) {
        const struct idle_harmless *idle = &found->idle[i];

        text_printf(view->out, "  %s: %s\n      ", idle->line->part,
                    idle->line->words);
        if (idle->finding == NULL)
            text_add(view->out, "there is no such change, or it is accepted "
                                "already: take the line out");
        else
            add_state(view->out, found, idle->finding);
        text_add(view->out, "\n");
    }
    if (found->n_idle > 0)
        text_add(view->out, "\n");
}

/* ---- counts ---- */

static uint32_t count_noticed(const struct unguarded_findings *found,
                              uint32_t requirement, bool alone)
{
    uint32_t count = 0;

    for (uint32_t i = 0; i < found->n; i++) {
        const struct change_finding *finding = &found->changes[i];
        uint32_t others = finding->error;

        if (!finding->looked || !finding->noticed[requirement])
            continue;
        for (uint32_t r = 0; r < found->model->n_requirements; r++)
            others += r != requirement && finding->noticed[r];
        count += !alone || others == 0;
    }
    return count;
}

static void add_requirement(const struct view *view, uint32_t r)
{
    const struct unguarded_findings *found = view->found;
    const struct requirement *requirement = &found->model->requirements[r];
    uint32_t n = count_noticed(found, r, false);

    text_printf(view->out, "  %s ", requirement->name->spelling);
    if (!found->guards[r])
        text_add(view->out, "notices nothing: it is not kept, or not put to "
                            "the test, as the text stands");
    else if (found->every)
        text_printf(view->out, "notices %u, %u of them alone", n,
                    count_noticed(found, r, true));
    else
        text_printf(view->out, "notices %u before the others are asked", n);
    text_add(view->out, "\n");
}

static void add_requirements(const struct view *view)
{
    uint32_t errors = 0;

    text_add(view->out, "What each requirement notices\n");
    for (uint32_t r = 0; r < view->found->model->n_requirements; r++)
        add_requirement(view, r);
    for (uint32_t i = 0; i < view->found->n; i++)
        errors += view->found->changes[i].looked &&
                  view->found->changes[i].error;
    if (errors > 0)
        text_printf(view->out, "  %u make%s a run-time error possible\n",
                    errors, errors == 1 ? "s" : "");
    text_add(view->out, "\n");
}

static void add_counts(const struct view *view)
{
    const struct unguarded_findings *found = view->found;
    const uint32_t *count = found->count;

    text_printf(view->out,
                "%u small change%s of the control text, one at a time: "
                "%u noticed, %u the same under this review, %u unguarded",
                found->n_asked, found->n_asked == 1 ? "" : "s",
                count[CHANGE_NOTICED], count[CHANGE_SAME],
                count[CHANGE_UNGUARDED]);
    if (count[CHANGE_HARMLESS] > 0)
        text_printf(view->out, ", %u harmless for a reason that is stated",
                    count[CHANGE_HARMLESS]);
    if (count[CHANGE_NOT_KNOWN] > 0)
        text_printf(view->out, ", %u not known", count[CHANGE_NOT_KNOWN]);
    if (count[CHANGE_REFUSED] > 0)
        text_printf(view->out, ", %u not accepted as a text",
                    count[CHANGE_REFUSED]);
    text_add(view->out, ".\n");
    if (found->n < found->n_all)
        text_printf(view->out, "A sample: there are %u such changes.\n",
                    found->n_all);
    if (found->n_asked < found->n)
        text_printf(view->out, "Not finished: %u more were not looked at.\n",
                    found->n - found->n_asked);
    text_add(view->out,
             "\"The same under this review\" is proved: with these "
             "assumptions, faults and machine no output of\na program can "
             "differ.  That every change is noticed does not show that the "
             "requirements are the\nright ones, or enough: it needs the "
             "review of a competent person.\n");
}

void unguarded_add(struct text *out, const struct unguarded_findings *found,
                   const struct sources *sources, bool all)
{
    const struct view view = {out, found, sources, all};

    add_text(&view);
    add_idle(&view);
    add_requirements(&view);
    add_counts(&view);
}

/* ---- for tables ---- */

static const char *const state_words[] = {
    [CHANGE_SAME] = "same", [CHANGE_NOTICED] = "noticed",
    [CHANGE_UNGUARDED] = "unguarded",
    [CHANGE_HARMLESS] = "harmless", [CHANGE_NOT_KNOWN] = "not known",
    [CHANGE_REFUSED] = "not accepted"};

static void add_row(struct text *out, const struct unguarded_findings *found,
                    const struct change_finding *finding,
                    const struct sources *sources)
{
    struct text cell = {0};
    struct place place = sources_place(sources, finding->change->at);

    text_add(&cell, naming_file(sources, finding->change->at.file));
    csv_quoted(out, text_str(&cell));
    text_printf(out, ",%u,", place.line);
    text_clear(&cell);
    quote_span(&cell, sources, finding->change->shown);
    csv_quoted(out, text_str(&cell));
    text_add_char(out, ',');
    csv_quoted(out, finding->change->words);
    text_printf(out, ",%s,", state_words[finding->state]);
    text_clear(&cell);
    add_noticed(&cell, found, finding);
    csv_quoted(out, text_str(&cell));
    text_add_char(out, ',');
    text_clear(&cell);
    if (finding->harmless != NULL)
        text_printf(&cell, "%s; ", finding->harmless->because);
    if (finding->reason != NULL)
        text_printf(&cell, "%s%s", finding->reason,
                    finding->output != NULL ? "; " : "");
    add_difference(&cell, finding);
    csv_quoted(out, text_str(&cell));
    text_add(out, "\r\n");
    text_release(&cell);
}

void unguarded_csv(struct text *out, const struct unguarded_findings *found,
                   const struct sources *sources)
{
    text_add(out, "file,line,place,change,result,noticed by,difference or "
                  "reason\r\n");
    for (uint32_t i = 0; i < found->n; i++)
        if (found->changes[i].looked)
            add_row(out, found, &found->changes[i], sources);
}
