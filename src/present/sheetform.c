#include "present/sheetform.h"

#include <string.h>

#include "base/text.h"
#include "present/columns.h"
#include "present/page.h"

enum { WIDTH = 92, STEP_CELLS = 5 };

static const unsigned step_width[STEP_CELLS] = {6, 30, 28, 21, 7};

static const char style[] =
    "body { font-size: 14px; }\n"
    "h2 { margin-top: 1.4em; }\n"
    "h3 { margin-top: 1.6em; border-top: 1px solid #000;\n"
    "  padding-top: .4em; }\n"
    "p.blank { max-width: 150mm; }\n"
    "table.steps { table-layout: fixed; font-size: .85em; }\n"
    "table.steps th:nth-child(1) { width: 9%; }\n"
    "table.steps th:nth-child(2) { width: 29%; }\n"
    "table.steps th:nth-child(3) { width: 27%; }\n"
    "table.steps th:nth-child(4) { width: 24%; }\n"
    "table.steps th:nth-child(5) { width: 11%; }\n"
    "table.steps td:first-child { min-width: 0; font-weight: bold; }\n"
    "p.station { font-style: italic; margin: 0 0 .2em; }\n"
    "p.box { margin: 0 0 .35em; }\n"
    "span.box { display: inline-block; width: .85em; height: .85em;\n"
    "  border: 1.5px solid #000; margin-right: .5em;\n"
    "  vertical-align: -.1em; }\n"
    "table.steps td.remark { height: 1.9em; font-weight: normal;\n"
    "  border-bottom: 2px solid #000; }\n"
    "p.blank + p { margin-top: .8em; }\n"
    "p.blank + p.blank { margin-top: 1.3em; }\n"
    "tbody { break-inside: avoid; }\n"
    "td p { margin: 0; }\n"
    "@media print { body { font-size: 9.5pt; } }\n"
    "@page {\n"
    "  @bottom-right { font: 8pt \"DejaVu Sans\", Verdana, sans-serif; }\n"
    "  @bottom-left { font: 8pt \"DejaVu Sans\", Verdana, sans-serif;\n"
    "  content: \"test sheet by keepclear, for the texts "
    "with the fingerprint ";

void sheetform_begin(const struct sheetform *form, const char *title,
                     const char *mark)
{
    struct text all = {0};

    if (form->paper) {
        text_printf(&all, "%s%.16s\"; } }\n", style, mark);
        page_begin_as(form->out, title, text_str(&all));
        page_element(form->out, "h1", NULL, title);
    } else {
        text_printf(form->out, "%s\n", title);
    }
    text_release(&all);
}

void sheetform_end(const struct sheetform *form)
{
    if (form->paper)
        page_end(form->out);
}

void sheetform_heading(const struct sheetform *form, const char *words)
{
    if (form->paper)
        page_element(form->out, "h2", NULL, words);
    else
        text_printf(form->out, "%s\n", words);
}

void sheetform_sequence(const struct sheetform *form, const char *words)
{
    static const unsigned width[] = {96};

    if (form->paper)
        page_element(form->out, "h3", NULL, words);
    else
        columns_row(form->out, &words, width, 1);
}

void sheetform_paragraph(const struct sheetform *form, const char *words)
{
    if (form->paper)
        page_element(form->out, "p", NULL, words);
    else
        columns_row(form->out, (const char *const[]){"", words},
                    (const unsigned[]){0, WIDTH}, 2);
}

void sheetform_item(const struct sheetform *form, const char *words)
{
    if (form->paper)
        page_element(form->out, "p", "further", words);
    else
        columns_row(form->out, (const char *const[]){"  -", words},
                    (const unsigned[]){3, WIDTH}, 2);
}

void sheetform_blank(const struct sheetform *form, const char *what)
{
    size_t n = text_columns(what, strlen(what));

    if (form->paper) {
        page_blank(form->out, what);
        return;
    }
    text_printf(form->out, "  %s ", what);
    text_pad(form->out, '.', n + 5 < WIDTH ? WIDTH - n - 3 : 2);
    text_add(form->out, "\n");
}

void sheetform_gap(const struct sheetform *form)
{
    if (!form->paper)
        text_add(form->out, "\n");
}

/* ---- steps ---- */

static const char *const boxes[] = {"as expected", "not",
                                    "not possible here"};
enum { BOXES = sizeof boxes / sizeof *boxes };

static const char *const headings[STEP_CELLS] = {
    "step", "do", "must be", "result", "for"};

void sheetform_steps_begin(const struct sheetform *form)
{
    if (form->paper) {
        page_table(form->out, "steps", headings, STEP_CELLS);
        return;
    }
    columns_row(form->out, headings, step_width, STEP_CELLS);
    columns_rule(form->out, step_width, STEP_CELLS);
}

void sheetform_steps_end(const struct sheetform *form)
{
    if (form->paper)
        page_close(form->out, "table");
}

static void plain_step(struct text *out, const struct sheetform_step *step)
{
    struct text what = {0}, result = {0};

    text_printf(&what, "%s%s%s", step->station,
                step->station[0] != '\0' ? ":\n" : "", step->what);
    for (int i = 0; i < BOXES; i++)
        text_printf(&result, "%s[ ] %s", i == 0 ? "" : "\n", boxes[i]);
    columns_row(out,
                (const char *const[]){step->number, text_str(&what),
                                      step->expected, text_str(&result),
                                      step->reached},
                step_width, STEP_CELLS);
    text_add(out, "        remark ");
    text_pad(out, '.', 80);
    text_add(out, "\n");
    text_release(&what);
    text_release(&result);
}

static void cell(struct text *out, const char *words)
{
    page_open(out, "td", NULL);
    page_lines(out, words);
    page_close(out, "td");
}

static void paper_step(struct text *out, const struct sheetform_step *step)
{
    page_open(out, "tbody", NULL);
    text_add(out, "<tr>");
    cell(out, step->number);
    page_open(out, "td", NULL);
    if (step->station[0] != '\0')
        page_element(out, "p", "station", step->station);
    page_lines(out, step->what);
    page_close(out, "td");
    cell(out, step->expected);
    page_open(out, "td", NULL);
    for (int i = 0; i < BOXES; i++)
        text_printf(out, "<p class=\"box\"><span class=\"box\"></span>%s"
                         "</p>\n", boxes[i]);
    page_close(out, "td");
    cell(out, step->reached);
    text_add(out, "</tr>\n<tr><td class=\"remark\" colspan=\"5\">remark</td>"
                  "</tr>");
    page_close(out, "tbody");
}

void sheetform_step(const struct sheetform *form,
                    const struct sheetform_step *step)
{
    if (form->paper)
        paper_step(form->out, step);
    else
        plain_step(form->out, step);
}
