#include <string.h>

#include "base/digest.h"
#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "source/source.h"
#include "study/findings.h"

static void add_text(struct text *out, const struct sources *sources,
                     uint32_t file)
{
    struct text digest = {0}, size = {0};
    size_t n;
    const char *bytes = sources_text(sources, file, &n);

    if (sources_cause(sources, file).file != 0)
        return; /* made out of another one */
    digest_add(&digest, bytes, n);
    amount_add(&size, n);
    page_row(out, "td",
             (const char *const[]){sources_path(sources, file),
                                   text_str(&size), text_str(&digest)}, 3);
    text_release(&digest);
    text_release(&size);
}

static void add_texts(struct text *out, const struct report *report)
{
    static const char *const headings[] = {"text", "bytes",
                                           "fingerprint (SHA-256)"};

    page_element(out, "h3", NULL, "Texts that were read");
    page_table(out, "digests", headings, 3);
    for (uint32_t f = 1; f <= sources_count(report->sources); f++)
        add_text(out, report->sources, f);
    page_close(out, "table");
    page_element(out, "p", "note",
                 "Size and fingerprint are those of the text as it was read: "
                 "in UTF-8, without a byte order mark.");
}

static void add_program(struct text *out, const struct report *report)
{
    struct text words = {0};

    page_element(out, "h3", NULL, "Program");
    text_printf(&words, "%s, called as: %s", report->tool, report->command);
    page_element(out, "p", NULL, text_str(&words));
    text_clear(&words);
    text_printf(&words, "Fingerprint of the program: %s",
                report->digest != NULL ? report->digest : "not known");
    page_element(out, "p", NULL, text_str(&words));
    text_release(&words);
    page_element(out, "p", NULL,
                 "It only reads texts and changes none. It is not certified; "
                 "whether and how far it may be leaned on is decided by the "
                 "one who signs.");
}

/* Whether that is the text in the controller no program can know. */
static void add_statement(struct text *out, const struct report *report)
{
    if (report->loaded != NULL) {
        page_named(out, "p",
                   "How the text that was looked at and the one in the "
                   "controller agree, stated by the user:",
                   report->loaded);
        page_blank(out, "Stated by (name, date, signature):");
        return;
    }
    page_blank(out, "The control text is what is loaded in the controller; "
                    "how that was made sure of (checksum of the project, "
                    "date, name):");
    page_blank(out, "");
}

void report_identification(struct text *out, const struct report *report)
{
    page_element(out, "h2", NULL, "2  What was looked at");
    page_blank(out, "Machine, type, serial number:");
    page_blank(out, "Number and date of this record:");
    add_statement(out, report);
    add_texts(out, report);
    add_program(out, report);
}
