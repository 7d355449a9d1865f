#include "present/chartsvg.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/chartwords.h"
#include "present/markup.h"
#include "study/chart.h"

/* Units of the picture: 4 to a millimetre on paper.  190 mm wide. */
enum {
    WIDTH = 760, MARGIN = 10, FROM = 240, CELL = 100, COLUMNS = 5,
    LINE = 17, PAD = 6, HEADING = 22,
    LABEL_LETTERS = 29, HEAD_LETTERS = 12, NOTE_LETTERS = 104,
    MEANING_LETTERS = 90
};

struct picture {
    struct text out;
    const struct chart *chart;
    int top;
};

static void say(struct picture *p, int x, int y, const char *kind,
                const char *what)
{
    text_printf(&p->out, "<text class=\"%s\" x=\"%d\" y=\"%d\">", kind, x, y);
    markup_add(&p->out, what, strlen(what));
    text_add(&p->out, "</text>\n");
}

/* Broken at blanks; the lines used. */
static int paragraph(struct picture *p, const int at[2], size_t letters,
                     const char *kind, const char *what)
{
    int lines = 0;

    while (*what != '\0') {
        struct text line = {0};
        size_t n = markup_line(what, letters);

        text_add_bytes(&line, what, n);
        say(p, at[0], at[1] + lines++ * LINE, kind, text_str(&line));
        text_release(&line);
        what += n;
        while (*what == ' ')
            what++;
    }
    return lines;
}

static void rule(struct picture *p, const char *kind, int y, int columns)
{
    text_printf(&p->out,
                "<line class=\"%s\" x1=\"%d\" y1=\"%d\" x2=\"%d\" "
                "y2=\"%d\"/>\n",
                kind, MARGIN, y, FROM + columns * CELL, y);
}

/* Between columns, over the height of a block. */
static void uprights(struct picture *p, int from, int columns)
{
    for (int i = 0; i <= columns; i++)
        text_printf(&p->out,
                    "<line class=\"thin\" x1=\"%d\" y1=\"%d\" x2=\"%d\" "
                    "y2=\"%d\"/>\n",
                    FROM + i * CELL, from, FROM + i * CELL, p->top);
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
                                            p->top + LINE},
                          HEAD_LETTERS, "output", text_str(&words));
        most = lines > most ? lines : most;
        text_release(&words);
    }
    p->top += most * LINE + PAD;
    rule(p, "thick", p->top, columns);
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
    lines = paragraph(p, (const int[2]){MARGIN, p->top + LINE - 2},
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
            p->top + ((int)i + 1) * LINE - 2, i < bold ? "always" : "act",
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
    p->top += HEADING - 6;
    say(p, MARGIN, p->top - 2, "group", heading(kind));
    p->top += 4;
    rule(p, "thin", p->top, columns);
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
    p->top += most * LINE + PAD - 2;
    rule(p, "thin", p->top, columns);
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
        int from = p->top;
        struct text idle = {0};

        draw_head(p, first, columns);
        draw_lines(p, first, columns, &idle);
        uprights(p, from, columns);
        p->top += paragraph(p, (const int[2]){MARGIN, p->top + LINE},
                            NOTE_LETTERS, "note", text_str(&idle)) * LINE;
        p->top += HEADING;
        text_release(&idle);
    }
}

/* ---- around it ---- */

static void draw_meaning(struct picture *p)
{
    struct chartwords_row rows[CHARTWORDS_WORDS];
    unsigned n = chartwords_meanings(p->chart, rows);

    for (unsigned i = 0; i < n; i++) {
        say(p, MARGIN, p->top + LINE, "note", rows[i].word);
        p->top += paragraph(p, (const int[2]){MARGIN + CELL, p->top + LINE},
                            MEANING_LETTERS, "note", rows[i].meaning) * LINE;
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
    p->top += PAD;
    p->top += paragraph(p, (const int[2]){MARGIN, p->top + LINE},
                        NOTE_LETTERS, "note", text_str(&words)) * LINE;
    text_release(&words);
}

static const char style[] =
    "<style>\n"
    "text { font-family: 'DejaVu Sans', Verdana, Arial, sans-serif; "
    "font-size: 13px; fill: #000; }\n"
    ".title { font-size: 15px; font-weight: bold; }\n"
    ".always { font-weight: bold; }\n"
    ".note { font-size: 12px; fill: #333; }\n"
    ".group { font-size: 11px; fill: #555; letter-spacing: 1px; }\n"
    "line { stroke: #000; stroke-width: 1; }\n"
    ".thin { stroke: #bbb; }\n"
    ".thick { stroke-width: 1.6; }\n"
    "</style>\n";

static void frame(struct text *out, struct picture *p, const char *title)
{
    int height = p->top + 2 * MARGIN;

    text_printf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                     "width=\"190mm\" height=\"%d.%dmm\" "
                     "viewBox=\"0 0 %d %d\">\n<title>",
                height / 4, height % 4 * 10 / 4, WIDTH, height);
    markup_add(out, title, strlen(title));
    text_printf(out, "</title>\n%s<rect width=\"%d\" height=\"%d\" "
                     "fill=\"#fff\"/>\n", style, WIDTH, height);
    text_add_bytes(out, text_str(&p->out), p->out.n);
    text_add(out, "</svg>\n");
}

void chartsvg_add(struct text *out, const struct chart *chart)
{
    struct picture p = {.chart = chart, .top = 26};
    struct text title = {0};

    chartwords_title(&title, chart);
    say(&p, MARGIN, p.top, "title", text_str(&title));
    p.top += HEADING - 4;
    draw_blocks(&p);
    draw_meaning(&p);
    draw_notes(&p);
    frame(out, &p, text_str(&title));
    text_release(&p.out);
    text_release(&title);
}
