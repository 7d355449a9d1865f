#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/caption.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/sentences.h"
#include "study/findings.h"

enum { COLUMNS = 100 };

static void add_group(struct text *out, const struct sentence_group *group)
{
    page_element(out, "h3", NULL, group->heading);
    page_open(out, "ul", NULL);
    for (uint32_t i = 0; i < group->n; i++)
        page_named(out, "li", group->at[i].name, group->at[i].words);
    page_close(out, "ul");
}

void report_review(struct text *out, const struct report *report)
{
    uint32_t n;
    const struct sentence_group *groups = sentences_make(
        report->arena, report->findings->model, report->sources, &n);

    page_element(out, "h2", NULL, "3  The review text in plain sentences");
    page_element(out, "p", "note",
                 "Made from the review text by the program, so that somebody "
                 "who did not write it can approve it. What stands between "
                 "` marks is as it is written.");
    for (uint32_t g = 0; g < n; g++)
        add_group(out, &groups[g]);
}

void report_sentences(struct text *out, const struct report *report)
{
    uint32_t n;
    const struct sentence_group *groups = sentences_make(
        report->arena, report->findings->model, report->sources, &n);

    for (uint32_t g = 0; g < n; g++) {
        text_printf(out, "%s%s\n\n", g > 0 ? "\n" : "", groups[g].heading);
        for (uint32_t i = 0; i < groups[g].n; i++) {
            const struct sentence *at = &groups[g].at[i];
            const char *line = arena_printf(
                report->arena, "  %s%s%s\n", at->name != NULL ? at->name : "",
                at->name != NULL ? "  " : "", at->words);

            caption_wrap(out, line, COLUMNS, 6);
        }
    }
}
