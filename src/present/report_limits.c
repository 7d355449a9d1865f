#include "base/text.h"
#include "check/model.h"
#include "present/conditions.h"
#include "present/page.h"
#include "present/remarks.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/templates.h"
#include "present/untaken.h"
#include "present/verdict.h"
#include "study/findings.h"

static void add_errors(struct text *out, const struct view *view)
{
    const struct findings *findings = view->findings;
    struct text words = {0};

    for (uint32_t e = 0; e < findings->n_errors; e++)
        verdict_error(&words, view, &findings->errors[e], e + 1);
    for (uint32_t d = 0; d < findings->n_dead_ends; d++)
        verdict_dead_end(&words, view, &findings->dead_ends[d]);
    if (words.n > 0) {
        page_element(out, "h3", NULL, "Run-time errors and dead ends");
        page_fixed(out, text_str(&words));
    }
    text_release(&words);
}

static void add_conditions(struct text *out, const struct view *view)
{
    struct text words = {0};

    if (view->findings->taken != NULL) {
        untaken_add(&words, view->findings->model, view->findings->taken,
                    view->sources);
        untaken_count(&words, view->findings->model, view->findings->taken);
    }
    remarks_add(&words, view->findings->model, view->sources, true);
    templates_add(&words, view->findings->model, view->sources);
    conditions_add(&words, view);
    page_lines(out, text_str(&words));
    text_release(&words);
}

/* Limits of which less is left than one scan. */
static void add_margins(struct text *out, const struct findings *findings)
{
    struct text words = {0};
    uint32_t n = 0;

    for (uint32_t i = 0; i < findings->n_requirements; i++) {
        const struct requirement_finding *finding =
            &findings->requirements[i];
        const struct requirement *requirement =
            &findings->model->requirements[finding->requirement];
        int64_t margin = verdict_margin(requirement, finding);

        if (finding->verdict == VERDICT_KEPT && margin >= 0 &&
            margin < findings->model->scan)
            text_printf(&words, "%s%s", n++ > 0 ? ", " : "",
                        requirement->name->spelling);
    }
    if (n > 0)
        page_named(out, "li", "Less than one scan is left of the limit of",
                   text_str(&words));
    text_release(&words);
}

static void add_warnings(struct text *out, const struct findings *findings)
{
    static const char *const warnings[] = {
        "What is kept holds for the model that the texts describe, not for "
        "wiring, hydraulics, firmware or anything that they do not say.",
        "This is no statement of a performance level, category, safety "
        "integrity level, failure rate or diagnostic coverage, and nothing "
        "here is certified.",
        "A two-hand control protects only the one whose hands are on it: a "
        "kept two-hand requirement says nothing about a second person.",
        "Where a rescue, service or override control moves something under a "
        "stop, part 5 names it: that motion is possible, and its limits are "
        "those of the requirements alone.",
        "A program of a controller that is interrupted by another one, or that "
        "runs in several tasks, is not what was looked at.",
        "Tests on the machine, faults put in on purpose among them, are still "
        "required. Standards in force and local law go first, and a "
        "competent person reviews and decides."};

    page_element(out, "h3", NULL, "Limits and warnings");
    page_open(out, "ul", NULL);
    for (unsigned i = 0; i < sizeof warnings / sizeof *warnings; i++)
        page_element(out, "li", NULL, warnings[i]);
    add_margins(out, findings);
    page_close(out, "ul");
}

static void add_signatures(struct text *out)
{
    page_open(out, "div", "keep");
    page_element(out, "h2", NULL, "9  Review and signature");
    page_blank(out, "Open points and remarks of the reviewer:");
    page_blank(out, "");
    page_blank(out, "The texts of part 2, and no others, are what is loaded "
                    "(name, date, signature):");
    page_blank(out, "Written by (name, date):");
    page_blank(out, "Reviewed by a competent person (name, date, signature):");
    page_blank(out, "Approved by (name, date, signature):");
    page_close(out, "div");
}

void report_limits(struct text *out, const struct report *report)
{
    const struct view view = {.findings = report->findings,
                              .sources = report->sources};

    page_element(out, "h2", NULL, "8  Conditions, limits, warnings");
    add_errors(out, &view);
    add_conditions(out, &view);
    add_warnings(out, report->findings);
    add_signatures(out);
}
