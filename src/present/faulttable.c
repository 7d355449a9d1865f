#include "present/faulttable.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/caption.h"
#include "present/causewords.h"
#include "present/columns.h"
#include "present/faultasked.h"
#include "present/faultnotice.h"
#include "present/faultwords.h"
#include "present/sheet.h"
#include "present/verdict.h"
#include "present/unfaulted.h"
#include "reference/replay.h"
#include "study/faults.h"

#define CAUSE_NONE UINT32_MAX

enum { INDENT = 6, COLUMNS_MOST = 5, COLUMNS = 100, HANGING = 2,
       SETS_TOLD = 40 };

static const char *const numbers[] = {"no", "one", "two", "three"};

static const struct model *model_of(const struct fault_findings *found)
{
    return found->findings->model;
}

static const char *name_of(const struct fault_findings *found, uint32_t asked)
{
    uint32_t number = found->requirements[asked].requirement;

    return model_of(found)->requirements[number].name->spelling;
}

/* ---- what is not finished ---- */

static bool is_open(enum verdict verdict)
{
    return verdict == VERDICT_NOT_FINISHED || verdict == VERDICT_NOT_DECIDED;
}

/* Why not everything was looked at, the requirement itself or its sets of up
 * to `size` faults; STOP_NONE: it was, or there is no fault to study. */
static enum stop_reason open_because(const struct requirement_faults *asked,
                                     uint32_t size, bool *open)
{
    *open = is_open(asked->sound.verdict);
    if (*open)
        return asked->sound.stop;
    for (uint32_t i = 0; i < size && i < asked->n_sizes; i++) {
        *open = is_open(asked->sizes[i].verdict);
        if (*open)
            return asked->sizes[i].stop;
    }
    return STOP_NONE;
}

static bool was_interrupted(const struct requirement_faults *asked,
                            uint32_t size)
{
    bool open;

    return open_because(asked, size, &open) == STOP_SIGNAL;
}

static bool is_single(const struct fault_set *set, uint32_t cause)
{
    return set->n == 1 && set->causes[0] == cause;
}

static bool breaks(const struct requirement_faults *asked, uint32_t cause)
{
    for (uint32_t i = 0; i < asked->n_sets; i++)
        if (is_single(&asked->sets[i], cause))
            return true;
    return false;
}

/* The names of requirements that are left open by a signal, or for another
 * reason; not of those that the cause (CAUSE_NONE: none) breaks.  False: there
 * is none. */
static bool add_open(struct text *out, const struct fault_findings *found,
                     uint32_t size, uint32_t cause, bool interrupted)
{
    size_t start = out->n;

    for (uint32_t r = 0; r < found->n_requirements; r++) {
        const struct requirement_faults *asked = &found->requirements[r];
        enum stop_reason stop;
        bool open;

        stop = open_because(asked, size, &open);
        if (open && (stop == STOP_SIGNAL) == interrupted &&
            !breaks(asked, cause))
            text_printf(out, "%s%s", out->n > start ? ", " : "",
                        name_of(found, r));
    }
    return out->n > start;
}

/* Said once, before all else. */
static void add_interrupted(struct text *out,
                            const struct fault_findings *found)
{
    static const unsigned width[] = {15, 80};
    struct text names = {0};

    if (add_open(&names, found, found->together, CAUSE_NONE, true)) {
        text_add(out, "Interrupted before everything was looked at. Nothing "
                      "follows for what was not.\n\n");
        columns_row(out, (const char *const[]){"Not finished:",
                                               text_str(&names)},
                    width, 2);
        text_add(out, "\n");
    }
    text_release(&names);
}

/* ---- one set and one requirement ---- */

/* "R4 after 0.8 s" */
static void add_effect(struct text *out, const struct fault_findings *found,
                       uint32_t asked, const struct fault_set *set)
{
    const struct replay *replay = set->found.sequence;

    text_add(out, name_of(found, asked));
    if (set->found.verdict == VERDICT_NOT_DECIDED)
        text_add(out, " perhaps (not decided)");
    else if (replay == NULL ||
             model_of(found)->requirements[found->requirements[asked]
                                               .requirement].form ==
                 FORM_POSSIBLE)
        text_add(out, " (no way left)");
    else if (replay->n_scans > 1) {
        text_add(out, " after ");
        amount_seconds(out, replay_time(model_of(found), replay,
                                        replay->n_scans - 1));
    } else {
        text_add(out, " at power-up");
    }
}

/* Behind what a fault breaks: what it may break as well. */
static void add_rest(struct text *out, const struct fault_findings *found,
                     uint32_t cause, bool any)
{
    struct text names = {0};

    if (add_open(&names, found, 1, cause, false))
        text_printf(out, "%s; not finished: %s", any ? "" : "nothing found",
                    text_str(&names));
    else if (!any && add_open(&names, found, 1, cause, true))
        text_add(out, "nothing found so far");
    else if (!any)
        text_add(out, "nothing that was asked");
    text_release(&names);
}

static void add_broken_by(struct text *out,
                          const struct fault_findings *found, uint32_t cause)
{
    size_t start = out->n;

    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++) {
            const struct fault_set *set = &found->requirements[r].sets[i];

            if (!is_single(set, cause))
                continue;
            text_add(out, out->n > start ? ", " : "");
            add_effect(out, found, r, set);
        }
    add_rest(out, found, cause, out->n > start);
}

/* ---- single faults ---- */

/* Widths of the columns; without NOTICING the last one is left away. */
static const unsigned *single_widths(const struct fault_findings *found,
                                     uint32_t *n)
{
    static const unsigned narrow[COLUMNS_MOST] = {7, 29, 11, 22, 23},
                          wide[COLUMNS_MOST] = {7, 38, 11, 36};

    *n = found->noticed != NULL ? 5 : 4;
    return found->noticed != NULL ? narrow : wide;
}

static void add_what(struct text *out, const struct model *model,
                     const struct cause *cause)
{
    text_printf(out, "%s%s", cause->title, cause->group ? "; " : "");
    faultwords_members(out, model, cause);
}

static void add_single(struct text *out, const struct fault_findings *found,
                       uint32_t cause)
{
    const struct cause *fault = &model_of(found)->causes[cause];
    struct text what = {0}, breaks = {0}, noticed = {0};
    uint32_t n;
    const unsigned *width = single_widths(found, &n);

    add_what(&what, model_of(found), fault);
    add_broken_by(&breaks, found, cause);
    faultnotice_cell(&noticed, found, &cause, 1);
    columns_row(out, (const char *const[]){
                         fault->name->spelling, text_str(&what),
                         faultwords_timing(model_of(found), fault),
                         text_str(&breaks), text_str(&noticed)}, width, n);
    text_release(&what);
    text_release(&breaks);
    text_release(&noticed);
}

static void add_singles(struct text *out, const struct fault_findings *found)
{
    uint32_t n;
    const unsigned *width = single_widths(found, &n);

    text_add(out, "One fault, at any moment\n\n");
    columns_row(out, (const char *const[]){"fault", "what fails", "once there",
                                           "breaks, at the earliest",
                                           "noticed"}, width, n);
    columns_rule(out, width, n);
    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        if (found->of[c])
            add_single(out, found, c);
    text_add(out, "\n");
}

/* ---- several at once ---- */

static void add_names(struct text *out, const struct fault_findings *found,
                      const struct fault_set *set)
{
    for (uint32_t i = 0; i < set->n; i++)
        text_printf(out, "%s%s", i == 0 ? "" : " + ",
                    model_of(found)->causes[set->causes[i]].name->spelling);
}

static void add_titles(struct text *out, const struct fault_findings *found,
                       const struct fault_set *set)
{
    for (uint32_t i = 0; i < set->n; i++)
        text_printf(out, "%s%s", i == 0 ? "" : "; ",
                    model_of(found)->causes[set->causes[i]].title);
}

static bool is_same_set(const struct fault_set *a, const struct fault_set *b)
{
    for (uint32_t i = 0; i < a->n && a->n == b->n; i++)
        if (a->causes[i] != b->causes[i])
            return false;
    return a->n == b->n;
}

/* Was this set a row already, for an earlier requirement? */
static bool is_told(const struct fault_findings *found, uint32_t asked,
                    const struct fault_set *set)
{
    for (uint32_t r = 0; r < asked; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            if (is_same_set(&found->requirements[r].sets[i], set))
                return true;
    return false;
}

static void add_effects(struct text *out, const struct fault_findings *found,
                        uint32_t asked, const struct fault_set *set)
{
    size_t start = out->n;

    for (uint32_t r = asked; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++) {
            const struct fault_set *other = &found->requirements[r].sets[i];

            if (!is_same_set(other, set))
                continue;
            text_add(out, out->n > start ? ", " : "");
            add_effect(out, found, r, other);
        }
}

static void add_combined(struct text *out, const struct fault_findings *found,
                         uint32_t asked, const struct fault_set *set)
{
    static const unsigned narrow[] = {13, 34, 22, 25}, wide[] = {14, 50, 30};
    bool notices = found->noticed != NULL;
    struct text names = {0}, titles = {0}, effects = {0}, noticed = {0};

    add_names(&names, found, set);
    add_titles(&titles, found, set);
    add_effects(&effects, found, asked, set);
    faultnotice_cell(&noticed, found, set->causes, set->n);
    columns_row(out, (const char *const[]){
                         text_str(&names), text_str(&titles),
                         text_str(&effects), text_str(&noticed)},
                notices ? narrow : wide, notices ? 4 : 3);
    text_release(&noticed);
    text_release(&names);
    text_release(&titles);
    text_release(&effects);
}

static void add_size(struct text *out, const struct fault_findings *found,
                     uint32_t size)
{
    bool any = false;

    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++) {
            const struct fault_set *set = &found->requirements[r].sets[i];

            if (set->n != size || is_told(found, r, set))
                continue;
            if (!any)
                text_printf(out, "%s faults together, where none of them "
                                 "does it without the others\n\n",
                            size == 2 ? "Two" : "Three");
            any = true;
            add_combined(out, found, r, set);
        }
    if (any)
        text_add(out, "\n");
}

/* ---- requirement by requirement ---- */

static const char *stopped(enum stop_reason stop)
{
    switch (stop) {
    case STOP_SITUATIONS: return "the limit of situations was reached";
    case STOP_MEMORY: return "the limit of memory was reached";
    case STOP_ERROR: case STOP_ERROR_OPEN: case STOP_ERROR_LEANS:
        return "a run-time error can be reached or was not excluded";
    case STOP_DEAD_END: case STOP_DEAD_END_LEANS:
        return "assumptions leave no way to go on somewhere";
    case STOP_SETS: return "there are more sets than are listed one by one";
    default: return "see the same requirement with `check`";
    }
}

static uint32_t count_sets(const struct requirement_faults *asked,
                           uint32_t size)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < asked->n_sets; i++)
        n += asked->sets[i].n == size;
    return n;
}

/* ": F1, F3"; so many of them at most. */
static void add_sets(struct text *out, const struct fault_findings *found,
                     const struct requirement_faults *asked, uint32_t size)
{
    uint32_t told = 0;

    for (uint32_t i = 0; i < asked->n_sets; i++) {
        if (asked->sets[i].n != size)
            continue;
        if (told++ == SETS_TOLD) {
            text_add(out, " and others");
            return;
        }
        text_add(out, told == 1 ? ": " : ", ");
        add_names(out, found, &asked->sets[i]);
    }
}

/* "no single fault breaks it" */
static void add_count(struct text *out, const struct fault_findings *found,
                      const struct requirement_faults *asked, uint32_t size)
{
    const struct fault_size *end = &asked->sizes[size - 1];
    uint32_t n = count_sets(asked, size);
    bool open = is_open(end->verdict);

    if (size > 1)
        text_add(out, "; ");
    if (open)
        text_printf(out, "%s %s: not finished", size == 1 ? "single"
                                                          : numbers[size],
                    size == 1 ? "faults" : "together");
    if (open && end->stop != STOP_SIGNAL)
        text_printf(out, ", %s", stopped(end->stop));
    if (open && n > 0)
        text_printf(out, " (%u that break%s it found)", n,
                    n == 1 ? "s" : "");
    else if (open)
        return;
    else if (n == 0)
        text_add(out, size == 1 ? "no single fault of this list breaks it"
                                : size == 2 ? "no two of them together"
                                            : "no three of them together");
    else if (size == 1)
        text_printf(out, "%u single fault%s break%s it", n, n == 1 ? "" : "s",
                    n == 1 ? "s" : "");
    else
        text_printf(out, "%u set%s of %s only together", n, n == 1 ? "" : "s",
                    numbers[size]);
    add_sets(out, found, asked, size);
}

static void add_counts(struct text *out, const struct fault_findings *found,
                       const struct requirement_faults *of)
{
    for (uint32_t size = 1; size <= of->n_sizes; size++)
        add_count(out, found, of, size);
    if (of->n_sizes == 0)
        text_add(out, "there is no fault to study");
    if (of->sound.verdict == VERDICT_NOT_TESTED)
        text_add(out, "; without faults it is not put to the test");
}

/* Below it, what the requirement asks for. */
static void add_titled(struct text *out, const struct model *model,
                       const struct requirement_faults *of, const char *line)
{
    static const unsigned width[] = {6, 92};
    const struct requirement *requirement =
        &model->requirements[of->requirement];

    columns_row(out, (const char *const[]){requirement->name->spelling, line},
                width, 2);
    if (requirement->title != NULL)
        columns_row(out, (const char *const[]){"", requirement->title},
                    width, 2);
}

static void add_requirement(struct text *out,
                            const struct fault_findings *found, uint32_t asked)
{
    const struct requirement_faults *of = &found->requirements[asked];

    struct text line = {0};

    if (of->n_sets == 0 && was_interrupted(of, 1))
        return;
    if (of->sound.verdict == VERDICT_KEPT ||
        of->sound.verdict == VERDICT_NOT_TESTED)
        add_counts(&line, found, of);
    else
        text_printf(&line, "%s without any fault; faults were not asked",
                    verdict_words(of->sound.verdict));
    if (of->sound.verdict == VERDICT_NOT_FINISHED)
        text_printf(&line, " (%s)", stopped(of->sound.stop));
    add_titled(out, model_of(found), of, text_str(&line));
    text_release(&line);
}

static void add_requirements(struct text *out,
                             const struct fault_findings *found)
{
    text_add(out, "Requirement by requirement\n\n");
    for (uint32_t r = 0; r < found->n_requirements; r++)
        add_requirement(out, found, r);
    text_add(out, "\n");
}

/* ---- what is not looked at ---- */

static void add_bare(struct text *out, const char *heading, const char *name,
                     bool *any)
{
    text_printf(out, "%s%s", *any ? ", " : heading, name);
    *any = true;
}

static void end_bare(struct text *out, bool *any)
{
    text_add(out, *any ? "\n" : "");
    *any = false;
}

static void add_left_out(struct text *out, const struct fault_findings *found)
{
    bool any = false;

    for (uint32_t c = 0; c < model_of(found)->n_causes; c++)
        if (!found->of[c])
            add_bare(out, "Declared, but not studied here: ",
                     model_of(found)->causes[c].name->spelling, &any);
    end_bare(out, &any);
}

static void add_counting(struct text *out, const struct model *model)
{
    struct text lines = {0};

    if (causewords_counting(&lines, model))
        text_printf(out, "What counts, and what does not\n\n%s\n",
                    text_str(&lines));
    text_release(&lines);
}

/* What counts, and what was not looked at. */
static void add_outside(struct text *out, const struct fault_findings *found)
{
    struct text lines = {0};

    add_counting(&lines, model_of(found));
    add_left_out(&lines, found);
    unfaulted_add(&lines, model_of(found), "");
    if (lines.n > 0)
        text_add(&lines, "\n");
    caption_wrap(out, text_str(&lines), COLUMNS, HANGING);
    text_release(&lines);
}

static void add_cautions(struct text *out)
{
    text_add(out,
        "That no single fault of a list breaks a requirement is one of the "
        "things that categories 3 and 4\n"
        "of ISO 13849-1 ask, and they ask more. Faults are counted here, not "
        "how often they come: a share\n"
        "of them is no diagnostic coverage. A fault that is not on the list "
        "was not looked at; whether the\n"
        "list is complete, and whether this evidence is accepted, a competent "
        "person decides, with the\n"
        "standards in force, local law and tests on the machine.\n");
}

/* ---- sequences ---- */

static void add_sequence(struct text *out, const struct fault_findings *found,
                         uint32_t asked, const struct fault_set *set)
{
    if (set->found.sequence == NULL)
        return;
    add_effect(out, found, asked, set);
    text_add(out, " with ");
    add_names(out, found, set);
    text_add(out, ": ");
    add_titles(out, found, set);
    text_add(out, "\n\n");
    sheet_add(out, found->findings, set->found.sequence, INDENT);
    text_add(out, "\n");
}

static void add_sequences(struct text *out, const struct fault_findings *found)
{
    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            add_sequence(out, found, r, &found->requirements[r].sets[i]);
}

static void add_errors(struct text *out, const struct fault_findings *found,
                       const struct sources *sources)
{
    const struct findings *findings = found->findings;
    const struct view view = {.findings = findings, .sources = sources};

    for (uint32_t e = 0; e < findings->n_errors; e++)
        verdict_error(out, &view, &findings->errors[e], e + 1);
    for (uint32_t i = 0; i < findings->n_dead_ends; i++)
        verdict_dead_end(out, &view, &findings->dead_ends[i]);
    if (findings->n_errors > 0 || findings->n_dead_ends > 0)
        text_add(out, "\n");
}

void faulttable_add(struct text *out, const struct fault_findings *found,
                   const struct sources *sources, bool sequences)
{
    const struct model *model = model_of(found);

    text_printf(out, "%s%s%s\n\n", model->name,
                model->title == NULL ? "" : ": ",
                model->title == NULL ? "" : model->title);
    add_errors(out, found, sources);
    add_interrupted(out, found);
    faultasked_totals(out, found);
    add_singles(out, found);
    for (uint32_t size = 2; size <= found->together; size++)
        add_size(out, found, size);
    add_requirements(out, found);
    faultnotice_summary(out, found);
    if (sequences) {
        add_sequences(out, found);
        faultnotice_sequences(out, found);
    }
    add_outside(out, found);
    faultasked_legend(out, found);
    add_cautions(out);
}
