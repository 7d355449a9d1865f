#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/causewords.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "study/findings.h"

static const struct requirement *requirement_of(const struct report *report,
                                                uint32_t i)
{
    const struct findings *findings = report->findings;

    return &findings->model->requirements
                [findings->requirements[i].requirement];
}

/* ---- what was shown ---- */

/* Few of many faults, nothing else being said of them: those are named, and
 * not all the others. */
static bool is_few(const struct model *model, const struct requirement *r)
{
    uint32_t n = 0;

    for (uint32_t c = 0; c < model->n_causes; c++)
        n += r->despite > 0 && r->despite_of[c];
    return n > 0 && 2 * n < model->n_causes && !r->another &&
           r->noticed == NULL && r->within.wanted == 0;
}

static void add_few(struct text *words, const struct model *model,
                    const struct requirement *r)
{
    uint32_t n = 0;

    if (r->despite == 1)
        text_add(words, "any one of ");
    else
        text_printf(words, "any %u of ", (unsigned)r->despite);
    for (uint32_t c = 0; c < model->n_causes; c++)
        if (r->despite_of[c])
            text_printf(words, "%s%s", n++ > 0 ? ", " : "",
                        model->causes[c].name->spelling);
    text_printf(words, ", and not asked of the other %u faults",
                (unsigned)(model->n_causes - n));
}

/* With which faults number i is asked, in the arena. */
static const char *despite(const struct report *report, uint32_t i)
{
    const struct requirement *r = requirement_of(report, i);
    struct text words = {0};
    const char *kept;

    text_add(&words, r->despite > 0 ? "kept with " : "kept ");
    if (is_few(report->findings->model, r))
        add_few(&words, report->findings->model, r);
    else
        causewords_despite(&words, report->findings->model, r);
    kept = arena_copy(report->arena, text_str(&words), words.n);
    text_release(&words);
    return kept;
}

static bool is_shown(const struct report *report, uint32_t i)
{
    return report->findings->requirements[i].verdict == VERDICT_KEPT;
}

/* Was one with these words told before number i? */
static bool told_before(const struct report *report, uint32_t i,
                        const char *words)
{
    for (uint32_t j = 0; j < i; j++)
        if (is_shown(report, j) && strcmp(despite(report, j), words) == 0)
            return true;
    return false;
}

/* Is number i kept with these faults? */
static bool is_kept_so(const struct report *report, uint32_t i,
                       const char *words)
{
    return i < report->findings->n_requirements && is_shown(report, i) &&
           strcmp(despite(report, i), words) == 0;
}

/* All that is kept with these faults, as one entry; three and more in a row by
 * the first and the last of them. */
static void add_kept(struct text *out, const struct report *report,
                     const char *words)
{
    struct text names = {0};
    uint32_t last;

    for (uint32_t i = 0; i < report->findings->n_requirements; i = last + 1) {
        for (last = i; is_kept_so(report, i, words) &&
                       is_kept_so(report, last + 1, words);)
            last++;
        if (!is_kept_so(report, i, words))
            continue;
        last = last == i + 1 ? i : last;
        text_printf(&names, "%s%s", names.n > 0 ? ", " : "",
                    requirement_of(report, i)->name->spelling);
        if (last > i)
            text_printf(&names, " to %s",
                        requirement_of(report, last)->name->spelling);
    }
    page_named(out, "li", text_str(&names), words);
    text_release(&names);
}

static void add_shown(struct text *out, const struct report *report)
{
    uint32_t n = 0;

    page_element(out, "h3", NULL, "What was shown");
    page_open(out, "ul", NULL);
    for (uint32_t i = 0; i < report->findings->n_requirements; i++) {
        const char *words;

        if (!is_shown(report, i))
            continue;
        n++;
        words = despite(report, i);
        if (!told_before(report, i, words))
            add_kept(out, report, words);
    }
    if (n == 0)
        page_element(out, "li", NULL, "Of no requirement.");
    page_close(out, "ul");
    if (n > 0)
        page_element(out, "p", "note",
                     "Kept: in every situation of the model that can be "
                     "reached, with the faults that are named, under the "
                     "assumptions below.");
}

/* ---- assumptions ---- */

static void add_assumption(struct text *out,
                           const struct assumption *assumption)
{
    struct text words = {0};

    text_printf(&words, "%s: %s. ", assumption->name->spelling,
                assumption->title);
    if (assumption->confirmed_by != NULL)
        text_printf(&words, "Confirmed by %s.", assumption->confirmed_by);
    else
        text_add(&words, "NOT CONFIRMED BY ANYBODY.");
    page_element(out, "li", NULL, text_str(&words));
    text_release(&words);
}

static void add_assumptions(struct text *out, const struct report *report)
{
    const struct model *model = report->findings->model;
    uint32_t n = 0;

    page_element(out, "h3", NULL, "Under which assumptions");
    page_open(out, "ul", NULL);
    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        if (model->assumptions[a].name == NULL)
            continue;
        add_assumption(out, &model->assumptions[a]);
        n++;
    }
    if (n == 0)
        page_element(out, "li", NULL,
                     "No assumption about the operators is made.");
    page_element(out, "li", NULL,
                 "The machine and its wiring are as the review text says "
                 "(part 3), and the conditions of part 8.");
    page_close(out, "ul");
}

/* ---- what was not shown ---- */

static void add_unshown(struct text *out, const struct report *report,
                        uint32_t i)
{
    const struct requirement *requirement = requirement_of(report, i);
    struct text words = {0};

    text_printf(&words, "%s: %s: %s", requirement->name->spelling,
                verdict_words(report->findings->requirements[i].verdict),
                requirement->title);
    page_element(out, "li", "strong", text_str(&words));
    text_release(&words);
}

static void add_run_time(struct text *out, const struct findings *findings)
{
    struct text words = {0};

    if (findings->n_errors > 0) {
        amount_of(&words, findings->n_errors, "run-time error");
        text_add(&words, " can be reached or could not be excluded: every "
                         "other verdict holds up to there only.");
        page_element(out, "li", "strong", text_str(&words));
    }
    if (findings->n_dead_ends > 0)
        page_element(out, "li", "strong",
                     "The assumptions leave no way to go on somewhere.");
    text_release(&words);
}

/* Parts that may be asked for, and were not. */
static void add_unasked(struct text *out, const struct report *report)
{
    if (report->faults == NULL && report->findings->model->n_causes > 0)
        page_element(out, "li", NULL,
                     "What each single fault does to each requirement: left "
                     "out of this record.");
    if (report->compared.before == NULL)
        page_element(out, "li", NULL,
                     "What changed since the version signed before: left out "
                     "of this record.");
    if (report->unguarded == NULL)
        page_element(out, "li", NULL,
                     "How far the requirements protect the logic: left out of "
                     "this record.");
}

static void add_excluded(struct text *out, const struct report *report,
                         const struct fault *fault)
{
    page_element(out, "li", NULL, arena_printf(report->arena,
        "Fault %s (%s) was excluded by the author of the review, because %s; "
        "%s%s.", fault->name->spelling, fault->title,
        fault->because != NULL ? fault->because : "(no reason is given)",
        fault->confirmed_by != NULL ? "confirmed by "
                                    : "NOT CONFIRMED BY ANYBODY",
        fault->confirmed_by != NULL ? fault->confirmed_by : ""));
}

/* Beside the requirements. */
static void add_unfinished(struct text *out, const struct report *report)
{
    const char *parts[REPORT_UNFINISHED];
    unsigned n = report_unfinished_parts(report, parts);

    for (unsigned i = 0; i < n; i++)
        page_element(out, "li", "strong",
                     arena_printf(report->arena,
                                  "Not finished, a limit came first: %s.",
                                  parts[i]));
}

static void add_left_out(struct text *out, const struct report *report)
{
    const struct findings *findings = report->findings;

    page_element(out, "h3", NULL, "What was NOT shown");
    page_open(out, "ul", NULL);
    add_run_time(out, findings);
    add_unfinished(out, report);
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (!is_shown(report, i))
            add_unshown(out, report, i);
    for (uint32_t f = 0; f < findings->model->n_faults; f++)
        if (findings->model->faults[f].excluded)
            add_excluded(out, report, &findings->model->faults[f]);
    add_unasked(out, report);
    page_element(out, "li", NULL,
                 "Anything of hydraulics, distances, stopping times, "
                 "firmware and people that the texts do not say; faults that "
                 "are not declared; what happens between two scans.");
    page_element(out, "li", NULL,
                 "No performance level, category or safety integrity level. "
                 "Tests on the machine are still required.");
    page_close(out, "ul");
}

static void add_count(struct text *out, const struct report *report)
{
    const struct findings *findings = report->findings;
    const char *parts[REPORT_UNFINISHED];
    bool open = report_unfinished_parts(report, parts) > 0;
    bool cut = findings->n_errors + findings->n_dead_ends > 0;
    struct text words = {0};
    uint32_t n[5] = {0};

    for (uint32_t i = 0; i < findings->n_requirements; i++)
        n[findings->requirements[i].verdict]++;
    text_add(&words, "Of ");
    amount_of(&words, findings->n_requirements, "requirement");
    for (int v = 0; v < 5; v++)
        if (n[v] > 0 || v == VERDICT_KEPT)
            text_printf(&words, "%s %u %s", v == 0 ? "" : ",", n[v],
                        verdict_words((enum verdict)v));
    text_add(&words, cut ? ". All of that up to a run-time error or a dead "
                           "end only: see what was NOT shown."
                   : open ? ". Other parts of this record are NOT FINISHED: "
                            "see what was NOT shown."
                          : ".");
    page_element(out, "p",
                 n[VERDICT_KEPT] == findings->n_requirements &&
                         findings->n_requirements > 0 && !cut && !open
                     ? "verdict"
                     : "verdict other",
                 text_str(&words));
    text_release(&words);
}

void report_summary(struct text *out, const struct report *report)
{
    page_element(out, "h2", NULL, "1  In short");
    add_count(out, report);
    add_shown(out, report);
    add_assumptions(out, report);
    add_left_out(out, report);
    report_motion(out, report);
}
