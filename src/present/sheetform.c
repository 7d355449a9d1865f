#include "present/sheetform.h"

#include <string.h>

#include "base/text.h"
#include "present/columns.h"
#include "present/embedded.h"
#include "present/page.h"
#include "present/sheetphrases.h"
#include "present/wordtable.h"

enum { WIDTH = 92, MARK_DIGITS = 16 };

static const char *word(const struct sheetform *form, const char *key)
{
    return wordtable_of(form->words, key);
}

static void begin_paper(const struct sheetform *form, const char *title,
                        const char *mark)
{
    struct text foot = {0}, digits = {0};

    text_printf(&digits, "%.*s", MARK_DIGITS, mark);
    sheetphrases_put(&foot, form->words, "foot", text_str(&digits), NULL);
    page_begin_as(form->out, &(struct page_head){
                                 .language = word(form, "language"),
                                 .title = title,
                                 .foot = text_str(&foot),
                                 .rules = embedded_testsheet_css()});
    page_element(form->out, "h1", NULL, title);
    text_release(&foot);
    text_release(&digits);
}

void sheetform_begin(const struct sheetform *form, const char *title,
                     const char *mark)
{
    if (form->paper)
        begin_paper(form, title, mark);
    else
        text_printf(form->out, "%s\n", title);
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

void sheetform_paragraph(const struct sheetform *form, const char *words)
{
    if (form->paper)
        page_element(form->out, "p", NULL, words);
    else
        columns_row(form->out, (const char *const[]){"", words},
                    (const unsigned[]){0, WIDTH}, 2);
}

static void item(const struct sheetform *form, const char *class,
                 const char *words)
{
    if (form->paper)
        page_element(form->out, "p", class, words);
    else
        columns_row(form->out, (const char *const[]){"  -", words},
                    (const unsigned[]){3, WIDTH}, 2);
}

void sheetform_item(const struct sheetform *form, const char *words)
{
    item(form, "further", words);
}

void sheetform_entry(const struct sheetform *form, const char *words)
{
    item(form, "entry", words);
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

/* ---- columns ---- */

enum { BOXES = 3, PLAIN_CELLS = 6, PAPER_CELLS = 9 };

static const char *const boxes[BOXES] = {"box_yes", "box_no", "box_never"};

static const unsigned plain_width[PLAIN_CELLS] = {6, 4, 27, 25, 22, 6};
static const char *const plain_headings[PLAIN_CELLS] = {
    "column_step", "column_at", "column_do", "column_must", "column_result",
    "column_for"};

static const char *const paper_headings[PAPER_CELLS] = {
    "column_step", "column_at", "column_do", "column_must", "box_yes",
    "box_no", "box_never", "column_remark", "column_for"};

static bool is_box(const char *key)
{
    return strncmp(key, "box", 3) == 0;
}

static void paper_head(const struct sheetform *form)
{
    page_open(form->out, "table", "steps");
    text_add(form->out, "<thead><tr>");
    for (int i = 0; i < PAPER_CELLS; i++) {
        text_add(form->out, is_box(paper_headings[i])
                                ? "<th scope=\"col\" class=\"box\"><span>"
                                : "<th scope=\"col\"><span>");
        page_words(form->out, word(form, paper_headings[i]));
        text_add(form->out, "</span></th>");
    }
    text_add(form->out, "</tr></thead>\n");
}

static void plain_head(const struct sheetform *form)
{
    const char *headings[PLAIN_CELLS];

    for (int i = 0; i < PLAIN_CELLS; i++)
        headings[i] = word(form, plain_headings[i]);
    columns_row(form->out, headings, plain_width, PLAIN_CELLS);
    columns_rule(form->out, plain_width, PLAIN_CELLS);
}

void sheetform_steps_begin(const struct sheetform *form)
{
    if (form->paper)
        paper_head(form);
    else
        plain_head(form);
}

void sheetform_steps_end(const struct sheetform *form)
{
    if (form->paper)
        page_close(form->out, "table");
}

/* ---- sequences ---- */

static void wide_row(struct text *out, const char *class)
{
    text_printf(out, "<tr class=\"%s\"><th scope=\"rowgroup\" colspan=\"%d\">",
                class, PAPER_CELLS);
}

static void plain_sequence(struct text *out, const char *title,
                           const char *besides)
{
    struct text line = {0};

    text_printf(&line, "%s  %s", title, besides);
    columns_row(out, (const char *const[]){text_str(&line)},
                (const unsigned[]){100}, 1);
    text_release(&line);
}

void sheetform_sequence(const struct sheetform *form, const char *title,
                        const char *besides)
{
    if (!form->paper) {
        plain_sequence(form->out, title, besides);
        return;
    }
    page_open(form->out, "tbody", NULL);
    wide_row(form->out, "sequence");
    page_words(form->out, title);
    page_element(form->out, "span", NULL, besides);
    text_add(form->out, "</th></tr>\n");
}

void sheetform_sequence_end(const struct sheetform *form, const char *caution)
{
    if (!form->paper) {
        if (caution != NULL)
            sheetform_paragraph(form, caution);
        text_add(form->out, "\n");
        return;
    }
    if (caution != NULL) {
        text_printf(form->out, "<tr class=\"caution\"><td colspan=\"%d\">",
                    PAPER_CELLS);
        page_words(form->out, caution);
        text_add(form->out, "</td></tr>\n");
    }
    page_close(form->out, "tbody");
}

/* ---- a step ---- */

static void plain_step(const struct sheetform *form,
                       const struct sheetform_step *step)
{
    const char *remark = word(form, "column_remark");
    size_t n = text_columns(remark, strlen(remark));
    struct text must = {0}, result = {0};

    text_printf(&must, "%s%s", step->changed, step->still);
    for (int i = 0; i < BOXES; i++)
        text_printf(&result, "%s[ ] %s", i == 0 ? "" : "\n",
                    word(form, boxes[i]));
    columns_row(form->out,
                (const char *const[]){step->number, step->station, step->what,
                                      text_str(&must), text_str(&result),
                                      step->reached},
                plain_width, PLAIN_CELLS);
    text_printf(form->out, "        %s ", remark);
    text_pad(form->out, '.', n < 80 ? 86 - n : 2);
    text_add(form->out, "\n");
    text_release(&must);
    text_release(&result);
}

static void cell(struct text *out, const char *words)
{
    page_element(out, "td", NULL, words);
}

/* Lines in <b> or <i>, each on a line of its own. */
static void add_lines(struct text *out, const char *tag, const char *lines)
{
    while (*lines != '\0') {
        size_t n = strcspn(lines, "\n");
        struct text line = {0};

        text_add_bytes(&line, lines, n);
        page_element(out, tag, NULL, text_str(&line));
        text_release(&line);
        lines += n + (lines[n] == '\n');
    }
}

static void paper_step(const struct sheetform *form,
                       const struct sheetform_step *step)
{
    struct text *out = form->out;

    text_add(out, "<tr><th scope=\"row\">");
    page_words(out, step->number);
    text_add(out, "</th>");
    cell(out, step->station);
    cell(out, step->what);
    page_open(out, "td", NULL);
    add_lines(out, "b", step->changed);
    add_lines(out, "i", step->still);
    page_close(out, "td");
    for (int i = 0; i < BOXES; i++) {
        text_add(out, "<td class=\"box\"><span role=\"img\" aria-label=\"");
        page_words(out, word(form, boxes[i]));
        text_add(out, "\"></span></td>");
    }
    text_add(out, "<td></td>");
    cell(out, step->reached);
    text_add(out, "</tr>\n");
}

void sheetform_step(const struct sheetform *form,
                    const struct sheetform_step *step)
{
    if (form->paper)
        paper_step(form, step);
    else
        plain_step(form, step);
}
