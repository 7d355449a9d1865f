#include "present/report.h"

#include "base/arena.h"
#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/page.h"
#include "present/report_parts.h"
#include "present/result.h"
#include "present/stoptext.h"
#include "study/chart.h"
#include "study/faults.h"
#include "study/findings.h"
#include "study/stopmap.h"
#include "study/unguarded.h"

unsigned report_unfinished_parts(const struct report *report,
                                 const char *parts[REPORT_UNFINISHED])
{
    unsigned n = 0;

    if (report->chart != NULL && report->chart->stop != STOP_NONE)
        parts[n++] = "what each input does to each output (part 4)";
    if (report->stops != NULL && report->stops->stop != STOP_NONE)
        parts[n++] = "what each stop stops, and which motion remains "
                     "possible (part 5)";
    if (report->faults != NULL && faults_exit_code(report->faults) == 3)
        parts[n++] = "what each single fault does (part 7)";
    if (report->unguarded != NULL &&
        (report->unguarded->n_asked < report->unguarded->n ||
         unguarded_exit_code(report->unguarded) == 3))
        parts[n++] = "logic that no requirement protects (part 7)";
    if (report->compared.before != NULL && !report->compared.finished)
        parts[n++] = "the comparison with the version signed before (part 7)";
    return n;
}

bool report_unfinished(const struct report *report)
{
    const struct findings *findings = report->findings;
    const char *parts[REPORT_UNFINISHED];

    for (uint32_t i = 0; i < findings->n_requirements; i++)
        if (findings->requirements[i].verdict == VERDICT_NOT_FINISHED)
            return true;
    return report_unfinished_parts(report, parts) > 0;
}

/* Anything not finished or not decided: then no page may pass for a proof. */
static const char *unfinished(const struct report *report)
{
    const struct findings *findings = report->findings;

    if (report_unfinished(report))
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
    report_stops(out, report);
    report_requirements(out, report);
    report_beyond(out, report);
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
    text_add(&digest, "Fingerprint of parts 1 to 9 of this record (SHA-256 of "
                      "their HTML): ");
    digest_add(&digest, text_str(&parts), parts.n);
    page_element(out, "p", "note", text_str(&digest));
    page_end(out);
    text_release(&parts);
    text_release(&digest);
}

void report_text(struct text *out, const struct report *report)
{
    const struct view view = {.findings = report->findings,
                              .tested = report->tested,
                              .sources = report->sources,
                              .figures = true, .examples = true};

    text_printf(out, "Record of a check: %s\n%s, called as: %s\n\n",
                report->findings->model->name, report->tool, report->command);
    if (unfinished(report) != NULL)
        text_printf(out, "%s\n\n", unfinished(report));
    result_add(out, &view);
    text_add(out, "\n");
    if (report->stops != NULL)
        stoptext_add(out, report->stops, report->sources);
    report_text_beyond(out, report);
}
