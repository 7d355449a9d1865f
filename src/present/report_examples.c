#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/naming.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/sheet.h"
#include "reference/replay.h"
#include "study/caught.h"
#include "study/changes.h"
#include "study/findings.h"
#include "study/fitting.h"
#include "study/load.h"
#include "study/unguarded.h"

static void add_row(void *context, const struct sheet_row *row)
{
    struct text *out = context;

    if (row->note == NULL)
        page_row(out, "td", row->cell, SHEET_COLUMNS);
    else
        page_row(out, "td", (const char *const[]){"", row->note, "", ""},
                 SHEET_COLUMNS);
}

void report_sheet(struct text *out, const struct findings *findings,
                  const struct replay *sequence)
{
    const char *headings[SHEET_COLUMNS];

    for (int c = 0; c < SHEET_COLUMNS; c++)
        headings[c] = sheet_heading(c);
    page_table(out, "sheet", headings, SHEET_COLUMNS);
    sheet_each(findings, sequence, NULL, add_row, out);
    page_close(out, "table");
}

/* ---- where it comes to bear ---- */

static void add_fitting(struct text *out, const struct report *report,
                        uint32_t requirement)
{
    const struct requirement *asked =
        &report->findings->model->requirements[requirement];
    const struct fitting *fitting = &report->fittings->at[requirement];

    if (asked->form >= FORM_POSSIBLE)
        return;
    if (fitting->sequence == NULL) {
        page_element(out, "p", "note",
                     fitting->not_known
                         ? "Where it comes to bear: not known, a limit came "
                           "first."
                     : fitting->never && asked->n_triggers > 0
                         ? "Where it comes to bear: nowhere without a fault."
                         : "Where it comes to bear: at every moment.");
        return;
    }
    page_element(out, "h4", NULL,
                 "Where it comes to bear: the shortest sequence to it, "
                 "without any fault");
    page_element(out, "p", "note",
                 arena_printf(report->arena, "At the end: %s",
                              asked->triggers[fitting->trigger].words));
    report_sheet(out, report->findings, fitting->sequence);
}

/* ---- a wrong change ---- */

static void add_change(struct text *out, const struct report *report,
                       const struct change *change)
{
    struct text words = {0};

    text_add(&words, "A wrong change that it catches: ");
    text_add(&words, change->words);
    text_add(&words, " in ");
    naming_place(&words, report->sources, change->at);
    page_element(out, "h4", NULL, text_str(&words));
    text_release(&words);
}

static void add_caught(struct text *out, const struct report *report,
                       uint32_t requirement)
{
    const struct caught *caught = &report->caught[requirement];
    const struct requirement_finding *finding;

    if (caught->change == NULL) {
        page_element(out, "p", "note",
                     "A wrong change that it catches: none of those that were "
                     "put in.");
        return;
    }
    add_change(out, report, caught->change);
    finding = &caught->findings->requirements[0];
    page_element(out, "p", "note",
                 arena_printf(report->arena, "With the text so changed: %s.",
                              verdict_words(finding->verdict)));
    if (finding->verdict == VERDICT_BROKEN && finding->sequence != NULL &&
        finding->sequence->n_scans > 0)
        report_sheet(out, caught->findings, finding->sequence);
}

void report_examples(struct text *out, const struct report *report,
                     uint32_t requirement)
{
    if (report->fittings != NULL)
        add_fitting(out, report, requirement);
    else
        page_element(out, "p", "note",
                     "A sequence in which it comes to bear was not looked "
                     "for.");
    if (report->caught != NULL)
        add_caught(out, report, requirement);
    else
        page_element(out, "p", "note",
                     "A wrong change that it catches, and how it breaks then, "
                     "was not looked for (--with unguarded).");
}
