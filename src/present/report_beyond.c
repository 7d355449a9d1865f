#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/faulttable.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/unguardedwords.h"
#include "study/faults.h"
#include "study/unguarded.h"

/* Said instead of what was left out. */
static void left_out(struct text *out, const char *words)
{
    page_open(out, "div", "frame");
    page_element(out, "p", NULL, words);
    page_close(out, "div");
}

static void add_faults(struct text *out, const struct report *report)
{
    struct text words = {0};

    page_element(out, "h3", NULL, "Single faults");
    if (report->findings->model->n_causes == 0) {
        page_element(out, "p", NULL, "No fault is declared.");
    } else if (report->faults == NULL) {
        left_out(out,
                 "LEFT OUT OF THIS RECORD: what each single fault does to each "
                 "requirement, and whether the machine notices it. Nothing in "
                 "this record says that a fault that no requirement names is "
                 "harmless. With --with faults it stands here.");
    } else {
        faulttable_add(&words, report->faults, report->sources, false);
        page_fixed(out, text_str(&words));
    }
    text_release(&words);
}

static void add_compared(struct text *out, const struct report *report)
{
    page_element(out, "h3", NULL, "Compared with the version signed before");
    if (report->compared.before == NULL) {
        left_out(out, "LEFT OUT OF THIS RECORD: no version signed before was "
                      "given to compare with (--signed).");
        return;
    }
    page_element(out, "p", NULL,
                 arena_printf(report->arena,
                              "The version signed before, as it was given: "
                              "%s. That it is the one that was signed is for "
                              "the one who signs to make sure of.",
                              report->compared.before));
    page_fixed(out, report->compared.words);
}

static void add_unguarded(struct text *out, const struct report *report)
{
    struct text words = {0};

    page_element(out, "h3", NULL, "Logic that no requirement protects");
    if (report->unguarded == NULL) {
        left_out(out,
                 "LEFT OUT OF THIS RECORD: which small changes of the control "
                 "text no requirement would notice. Nothing in this record "
                 "says that the requirements cover all of the logic. With "
                 "--with unguarded it stands here.");
    } else {
        unguarded_add(&words, report->unguarded, report->sources, false);
        page_fixed(out, text_str(&words));
    }
    text_release(&words);
}

void report_beyond(struct text *out, const struct report *report)
{
    page_element(out, "h2", NULL,
                 "7  Faults, the version before, unguarded logic");
    add_faults(out, report);
    add_compared(out, report);
    add_unguarded(out, report);
}

void report_text_beyond(struct text *out, const struct report *report)
{
    text_add(out, "\nSingle faults\n\n");
    if (report->faults != NULL)
        faulttable_add(out, report->faults, report->sources, false);
    else
        text_add(out, "left out of this record\n");
    text_printf(out, "\nCompared with the version signed before\n\n%s\n",
                report->compared.before != NULL ? report->compared.words
                                                : "left out of this record");
    text_add(out, "\nLogic that no requirement protects\n\n");
    if (report->unguarded != NULL)
        unguarded_add(out, report->unguarded, report->sources, false);
    else
        text_add(out, "left out of this record\n");
}
