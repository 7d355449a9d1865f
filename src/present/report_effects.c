#include "base/arena.h"
#include "base/text.h"
#include "present/chartwords.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "study/chart.h"

/* Outputs side by side in one table. */
enum { COLUMNS = 5 };

/* Lines of words, kept in the arena. */
static const char *kept(const struct report *report, struct text *words)
{
    const char *copy = arena_copy(report->arena, text_str(words), words->n);

    text_release(words);
    return copy;
}

static const char *cell_words(const struct report *report,
                              const struct chart_cell *cell)
{
    const char *words[CHARTWORDS_MOST];
    unsigned n = chartwords_cell(cell, words);
    struct text lines = {0};

    for (unsigned i = 0; i < n; i++)
        text_printf(&lines, "%s%s", i == 0 ? "" : "\n", words[i]);
    return kept(report, &lines);
}

static const char *input_words(const struct report *report, uint32_t input)
{
    const struct chart_input *at = &report->chart->inputs[input];
    struct text words = {0};

    chartwords_input(&words, report->chart, at);
    text_add(&words, ", ");
    chartwords_position(&words, report->chart, at);
    return kept(report, &words);
}

static const char *output_words(const struct report *report, uint32_t output)
{
    struct text words = {0};

    chartwords_output(&words, report->chart, &report->chart->outputs[output]);
    return kept(report, &words);
}

/* A line in which the input makes no difference is left out. */
static void add_line(struct text *out, const struct report *report,
                     uint32_t input, uint32_t first, uint32_t columns)
{
    const struct chart *chart = report->chart;
    const char *cells[1 + COLUMNS] = {input_words(report, input)};
    bool any = false;

    for (uint32_t i = 0; i < columns; i++) {
        cells[1 + i] = cell_words(
            report, &chart->cells[(size_t)input * chart->n_outputs + first +
                                  i]);
        any = any || *cells[1 + i] != '\0';
    }
    if (any)
        page_row(out, "td", cells, 1 + columns);
}

static void add_table(struct text *out, const struct report *report,
                      uint32_t first)
{
    const struct chart *chart = report->chart;
    uint32_t left = chart->n_outputs - first;
    uint32_t columns = left < COLUMNS ? left : COLUMNS;
    const char *headings[1 + COLUMNS] = {"what an input alone does"};

    for (uint32_t i = 0; i < columns; i++)
        headings[1 + i] = output_words(report, first + i);
    page_table(out, "effects", headings, 1 + columns);
    for (uint32_t i = 0; i < chart->n_inputs; i++)
        add_line(out, report, i, first, columns);
    page_close(out, "table");
}

static void add_meanings(struct text *out, const struct chart *chart)
{
    struct chartwords_row rows[CHARTWORDS_WORDS];
    unsigned n = chartwords_meanings(chart, rows);

    page_open(out, "ul", NULL);
    for (unsigned i = 0; i < n; i++)
        page_named(out, "li", rows[i].word, rows[i].meaning);
    page_close(out, "ul");
}

void report_chart_limits(struct text *out, const struct report *report)
{
    struct text limits = {0};

    chartwords_limits(&limits, report->chart);
    if (limits.n > 0) {
        page_open(out, "div", "frame");
        page_lines(out, text_str(&limits));
        page_close(out, "div");
    }
    text_release(&limits);
}

void report_effects(struct text *out, const struct report *report)
{
    const struct chart *chart = report->chart;
    struct text title = {0};

    if (chart == NULL)
        return;
    chartwords_title(&title, chart);
    page_element(out, "h3", NULL, text_str(&title));
    text_release(&title);
    report_chart_limits(out, report);
    for (uint32_t first = 0; first < chart->n_outputs; first += COLUMNS)
        add_table(out, report, first);
    add_meanings(out, chart);
    page_element(out, "p", "note",
                 "All else is the same in that scan: what was before, "
                 "movements, other inputs. An empty cell: never any "
                 "difference. What an input brings about in a later scan is "
                 "not shown.");
}
