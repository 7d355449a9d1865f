#include "present/report.h"

#include "base/arena.h"
#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/page.h"
#include "present/report_parts.h"
#include "study/chart.h"
#include "study/findings.h"

/* Anything not finished or not decided: then no page may pass for a proof. */
static const char *unfinished(const struct report *report)
{
    const struct findings *findings = report->findings;

    if (report->chart != NULL && report->chart->stop != STOP_NONE)
        return "NOT FINISHED: this record is no proof";
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (findings->requirements[i].verdict == VERDICT_NOT_FINISHED)
            return "NOT FINISHED: this record is no proof";
    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (findings->requirements[i].verdict == VERDICT_NOT_DECIDED)
            return "NOT DECIDED IN PART: see part 1";
    return NULL;
}

static void add_parts(struct text *out, const struct report *report)
{
    report_summary(out, report);
    report_identification(out, report);
    report_review(out, report);
    report_trace(out, report);
    report_effects(out, report);
    report_requirements(out, report);
    report_limits(out, report);
}

void report_add(struct text *out, const struct report *report)
{
    const struct model *model = report->findings->model;
    const char *title = arena_printf(
        report->arena, "Record of a check: %s%s%s", model->name,
        model->title != NULL ? ", " : "",
        model->title != NULL ? model->title : "");
    struct text parts = {0}, digest = {0};

    page_begin(out, title, unfinished(report));
    page_element(out, "h1", NULL, title);
    add_parts(&parts, report);
    text_add_bytes(out, text_str(&parts), parts.n);
    text_add(&digest, "Fingerprint of parts 1 to 7 of this record (SHA-256 of "
                      "their HTML): ");
    digest_add(&digest, text_str(&parts), parts.n);
    page_element(out, "p", "note", text_str(&digest));
    page_end(out);
    text_release(&parts);
    text_release(&digest);
}
