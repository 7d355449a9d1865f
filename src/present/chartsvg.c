#include "present/chartsvg.h"

#include "base/text.h"
#include "check/model.h"
#include "present/chartwords.h"
#include "present/svgsheet.h"
#include "study/chart.h"

/* Units of the sheet (present/svgsheet.h). */
enum {
    MARGIN = SVGSHEET_MARGIN, LINE = SVGSHEET_LINE, FROM = 240, CELL = 100,
    COLUMNS = 5, PAD = 6, HEADING = 22,
    LABEL_LETTERS = 29, HEAD_LETTERS = 12, NOTE_LETTERS = 104,
    MEANING_LETTERS = 90
};

struct picture {
    struct svgsheet sheet;
    const struct chart *chart;
};

static void say(struct picture *p, int x, int y, const char *kind,
                const char *what)
{
    svgsheet_say(&p->sheet, (const int[2]){x, y}, kind, what);
}

static int paragraph(struct picture *p, const int at[2], size_t letters,
                     const char *kind, const char *what)
{
    return svgsheet_paragraph(&p->sheet, at, letters, kind, what);
}

static void rule(struct picture *p, const char *kind, int y, int columns)
{
    svgsheet_line(&p->sheet, (const int[2]){MARGIN, y},
                  (const int[2]){FROM + columns * CELL, y}, kind);
}

/* Between columns, over the height of a block. */
static void uprights(struct picture *p, int from, int columns)
{
    for (int i = 0; i <= columns; i++)
        svgsheet_line(&p->sheet, (const int[2]){FROM + i * CELL, from},
                      (const int[2]){FROM + i * CELL, p->sheet.top}, "thin");
}

/* ---- one block of columns ---- */

static void draw_head(struct picture *p, uint32_t first, int columns)
{
    int most = 1;

    for (int i = 0; i < columns; i++) {
        struct text words = {0};
        int lines;

        chartwords_output(&words, p->chart,
                          &p->chart->outputs[first + (uint32_t)i]);
        lines = paragraph(p, (const int[2]){FROM + i * CELL + PAD,
                                            p->sheet.top + LINE},
                          HEAD_LETTERS, "output", text_str(&words));
        most = lines > most ? lines : most;
        text_release(&words);
    }
    p->sheet.top += most * LINE + PAD;
    rule(p, "thick", p->sheet.top, columns);
}

static void add_label(struct text *words, const struct chart *chart,
                      const struct chart_input *input)
{
    chartwords_input(words, chart, input);
    text_add(words, ", ");
    chartwords_position(words, chart, input);
}

static int draw_label(struct picture *p, const struct chart_input *input)
{
    struct text words = {0};
    int lines;

    add_label(&words, p->chart, input);
    lines = paragraph(p, (const int[2]){MARGIN, p->sheet.top + LINE - 2},
                      LABEL_LETTERS, "input", text_str(&words));
    text_release(&words);
    return lines;
}

static int draw_cell(struct picture *p, const struct chart_cell *cell,
                     int column)
{
    const char *words[CHARTWORDS_MOST];
    unsigned n = chartwords_cell(cell, words);
    unsigned bold = (unsigned)chart_stops(cell) +
                    (unsigned)chart_only_with(cell);

    for (unsigned i = 0; i < n; i++)
        say(p, FROM + column * CELL + PAD,
            p->sheet.top + ((int)i + 1) * LINE - 2, i < bold ? "always" : "act",
            words[i]);
    return (int)n;
}

static const char *heading(enum chart_kind kind)
{
    switch (kind) {
    case CHART_CONTROL: return "OPERATED BY PEOPLE";
    case CHART_FREE: return "NOT DESCRIBED";
    case CHART_SHARED: return "WRITTEN BY OTHERS";
    case CHART_SENSOR: break;
    }
    return "SENSORS";
}

static void draw_heading(struct picture *p, enum chart_kind kind,
                         int columns)
{
    p->sheet.top += HEADING - 6;
    say(p, MARGIN, p->sheet.top - 2, "group", heading(kind));
    p->sheet.top += 4;
    rule(p, "thin", p->sheet.top, columns);
}

static bool is_idle(const struct chart *chart, uint32_t input, uint32_t first,
                    int columns)
{
    const struct chart_cell *cells =
        &chart->cells[(size_t)input * chart->n_outputs + first];
    const char *words[CHARTWORDS_MOST];
    unsigned n = 0;

    for (int i = 0; i < columns; i++)
        n += chartwords_cell(&cells[i], words);
    return n == 0;
}

static void draw_line(struct picture *p, uint32_t input, uint32_t first,
                      int columns)
{
    const struct chart *chart = p->chart;
    const struct chart_input *inputs = chart->inputs;
    int most = draw_label(p, &inputs[input]);

    for (int i = 0; i < columns; i++) {
        int lines = draw_cell(
            p, &chart->cells[(size_t)input * chart->n_outputs + first +
                             (uint32_t)i], i);

        most = lines > most ? lines : most;
    }
    p->sheet.top += most * LINE + PAD - 2;
    rule(p, "thin", p->sheet.top, columns);
}

/* Inputs that make no difference to any output of the block stand below it. */
static void draw_lines(struct picture *p, uint32_t first, int columns,
                       struct text *idle)
{
    const struct chart *chart = p->chart;
    uint32_t last = UINT32_MAX;

    for (uint32_t i = 0; i < chart->n_inputs; i++) {
        if (is_idle(chart, i, first, columns)) {
            text_add(idle, idle->n == 0 ? "No difference to any of them: "
                                        : "; ");
            add_label(idle, chart, &chart->inputs[i]);
            continue;
        }
        if (last != (uint32_t)chart->inputs[i].kind)
            draw_heading(p, chart->inputs[i].kind, columns);
        last = (uint32_t)chart->inputs[i].kind;
        draw_line(p, i, first, columns);
    }
}

static void draw_blocks(struct picture *p)
{
    const struct chart *chart = p->chart;

    for (uint32_t first = 0; first < chart->n_outputs; first += COLUMNS) {
        int columns = chart->n_outputs - first < COLUMNS
                          ? (int)(chart->n_outputs - first) : COLUMNS;
        int from = p->sheet.top;
        struct text idle = {0};

        draw_head(p, first, columns);
        draw_lines(p, first, columns, &idle);
        uprights(p, from, columns);
        p->sheet.top += paragraph(p, (const int[2]){MARGIN,
                                                    p->sheet.top + LINE},
                                  NOTE_LETTERS, "note", text_str(&idle)) *
                        LINE;
        p->sheet.top += HEADING;
        text_release(&idle);
    }
}

/* ---- around it ---- */

static void draw_meaning(struct picture *p)
{
    struct chartwords_row rows[CHARTWORDS_WORDS];
    unsigned n = chartwords_meanings(p->chart, rows);

    for (unsigned i = 0; i < n; i++) {
        say(p, MARGIN, p->sheet.top + LINE, "note", rows[i].word);
        p->sheet.top += paragraph(p, (const int[2]){MARGIN + CELL,
                                                    p->sheet.top + LINE},
                                  MEANING_LETTERS, "note", rows[i].meaning) *
                        LINE;
    }
}

static void draw_notes(struct picture *p)
{
    struct text words = {0};
    const struct chart *chart = p->chart;

    if (chart->errors > 0 || chart->errors_open || chart->dead_end ||
        chart->stop != STOP_NONE)
        text_add(&words, "Not of everything: a run-time error, assumptions "
                         "that leave no way to go on, or a limit cuts this "
                         "short; the chart as text tells which. ");
    text_add(&words,
             "Over every reachable situation. In one scan the input stands so, "
             "or does not, and all else is the same; a sensor is turned alone, "
             "the machine standing as it does. An empty cell: never any "
             "difference. What comes about in a later scan is not shown. "
             "Assumptions and other conditions stand in the chart as text. A "
             "design aid: standards in force, local law, tests on the machine "
             "and the review of a competent person decide.");
    p->sheet.top += PAD;
    p->sheet.top += paragraph(p, (const int[2]){MARGIN, p->sheet.top + LINE},
                        NOTE_LETTERS, "note", text_str(&words)) * LINE;
    text_release(&words);
}

void chartsvg_add(struct text *out, const struct chart *chart)
{
    struct picture p = {.chart = chart, .sheet.top = 26};
    struct text title = {0};

    chartwords_title(&title, chart);
    say(&p, MARGIN, p.sheet.top, "title", text_str(&title));
    p.sheet.top += HEADING - 4;
    draw_blocks(&p);
    draw_meaning(&p);
    draw_notes(&p);
    svgsheet_end(out, &p.sheet, text_str(&title));
    text_release(&title);
}
