#include "present/charttext.h"

#include <stdbool.h>

#include "base/text.h"
#include "check/model.h"
#include "present/chartwords.h"
#include "present/columns.h"
#include "present/csv.h"
#include "present/sheet.h"
#include "study/chartlist.h"
#include "study/chartshown.h"

enum { LABEL = 30, CELL = 12, COLUMNS = 5, WIDTH = 100 };

/* "left rear stop, pressed" */
static void add_input(struct text *out, const struct chart *chart,
                      uint32_t input)
{
    chartwords_input(out, chart, &chart->inputs[input]);
    text_add(out, ", ");
    chartwords_position(out, chart, &chart->inputs[input]);
}

/* ---- the table ---- */

/* Cells of one row of the table being filled. */
struct row {
    const char *cells[1 + COLUMNS];
    unsigned width[1 + COLUMNS];
    uint32_t n;
};

static struct row new_row(uint32_t columns)
{
    struct row row = {.n = 1 + columns};

    row.width[0] = LABEL;
    for (uint32_t i = 1; i <= columns; i++)
        row.width[i] = CELL;
    return row;
}

/* A block of columns. */
struct block {
    const struct chart *chart;
    uint32_t first, columns;
    unsigned last; /* words in the fullest cell of the line before */
};

static void add_head(struct text *out, const struct block *block)
{
    struct row row = new_row(block->columns);
    struct text words[1 + COLUMNS] = {0};

    row.cells[0] = "";
    for (uint32_t i = 0; i < block->columns; i++) {
        chartwords_output(&words[i + 1], block->chart,
                          &block->chart->outputs[block->first + i]);
        row.cells[i + 1] = text_str(&words[i + 1]);
    }
    columns_row(out, row.cells, row.width, row.n);
    columns_rule(out, row.width, row.n);
    for (uint32_t i = 0; i <= block->columns; i++)
        text_release(&words[i]);
}

/* Words stand one below the other in their cell. */
static unsigned fill_cell(struct text *out, const struct chart_cell *cell)
{
    const char *words[CHARTWORDS_MOST];
    unsigned n = chartwords_cell(cell, words);

    for (unsigned i = 0; i < n; i++)
        text_printf(out, "%s%s", i == 0 ? "" : "\n", words[i]);
    return n;
}

/* False, and nothing, where the input makes no difference to any output of
 * the block.  Lines of several words are set off from others. */
static bool add_line(struct text *out, struct block *block, uint32_t input)
{
    const struct chart_cell *cells =
        &block->chart->cells[(size_t)input * block->chart->n_outputs +
                             block->first];
    struct text words[1 + COLUMNS] = {0};
    struct row row = new_row(block->columns);
    unsigned most = 0;

    add_input(&words[0], block->chart, input);
    for (uint32_t i = 0; i < block->columns; i++) {
        unsigned n = fill_cell(&words[i + 1], &cells[i]);

        most = n > most ? n : most;
    }
    for (uint32_t i = 0; i <= block->columns; i++)
        row.cells[i] = text_str(&words[i]);
    if (most > 0) {
        if (block->last > 1 || (block->last > 0 && most > 1))
            text_add(out, "\n");
        columns_row(out, row.cells, row.width, row.n);
        block->last = most;
    }
    for (uint32_t i = 0; i <= block->columns; i++)
        text_release(&words[i]);
    return most > 0;
}

/* Lines that are left out, once each, broken as a paragraph. */
static void add_idle(struct text *out, const struct text *idle)
{
    static const unsigned width[] = {WIDTH};
    const char *const cells[] = {text_str(idle)};

    if (idle->n > 0)
        columns_row(out, cells, width, 1);
}

static void add_block(struct text *out, struct block *block)
{
    struct text idle = {0};

    add_head(out, block);
    for (uint32_t i = 0; i < block->chart->n_inputs; i++)
        if (!add_line(out, block, i)) {
            text_add(&idle, idle.n == 0 ? "No difference to any of them: "
                                        : "; ");
            add_input(&idle, block->chart, i);
        }
    if (idle.n > 0 && block->last > 0)
        text_add(out, "\n");
    add_idle(out, &idle);
    text_release(&idle);
    text_add(out, "\n");
}

static void add_blocks(struct text *out, const struct chart *chart)
{
    for (uint32_t first = 0; first < chart->n_outputs; first += COLUMNS) {
        uint32_t columns = chart->n_outputs - first;
        struct block block = {chart, first,
                              columns < COLUMNS ? columns : COLUMNS, 0};

        add_block(out, &block);
    }
}

static void add_meanings(struct text *out, const struct chart *chart)
{
    struct chartwords_row rows[CHARTWORDS_WORDS];
    unsigned n = chartwords_meanings(chart, rows);

    for (unsigned i = 0; i < n; i++)
        text_printf(out, "%-13s %s\n", rows[i].word, rows[i].meaning);
    if (n > 0)
        text_add(out, "\n");
}

void charttext_add(struct text *out, const struct chart *chart,
                   const struct sources *sources)
{
    chartwords_title(out, chart);
    text_add(out, "\n\n");
    if (chart->n_outputs == 0)
        text_add(out, "There is no output.\n\n");
    if (chart->n_inputs == 0)
        text_add(out, "There is no input that can stand otherwise.\n\n");
    add_blocks(out, chart);
    add_meanings(out, chart);
    chartwords_conditions(out, chart, sources);
}

/* ---- for spreadsheets ---- */

static void add_state(struct text *out, enum chart_state state)
{
    text_add(out, state == CHART_SEEN    ? ",yes"
                  : state == CHART_NEVER ? ",no"
                                         : ",not known");
}

/* Whether it always does follows from what makes the difference and from
 * what is never seen. */
static enum chart_state always(const struct chart_cell *cell, bool is,
                               enum chart_act one, enum chart_act other,
                               enum chart_act never)
{
    if (is)
        return CHART_SEEN;
    if (cell->act[never] == CHART_SEEN ||
        (cell->act[one] == CHART_NEVER && cell->act[other] == CHART_NEVER))
        return CHART_NEVER;
    return CHART_NOT_KNOWN;
}

static void csv_cell(struct text *out, const struct chart *chart,
                     uint32_t number)
{
    const struct chart_cell *cell = &chart->cells[number];
    const struct chart_input *input =
        &chart->inputs[number / chart->n_outputs];
    const struct chart_output *output =
        &chart->outputs[number % chart->n_outputs];
    struct text position = {0}, on = {0};

    chartwords_position(&position, chart, input);
    chartwords_output(&on, chart, output);
    csv_quoted(out, chartlist_input_name(chart, input));
    text_add(out, ",");
    csv_quoted(out, text_str(&position));
    text_add(out, ",");
    csv_quoted(out, chartlist_output_name(chart, output));
    text_add(out, ",");
    csv_quoted(out, text_str(&on));
    add_state(out, always(cell, chart_stops(cell), CHART_TURNS_OFF,
                          CHART_KEEPS_OFF, CHART_ON_WITH));
    add_state(out, always(cell, chart_only_with(cell), CHART_TURNS_ON,
                          CHART_KEEPS_ON, CHART_ON_WITHOUT));
    for (unsigned act = 0; act < CHART_ON_WITH; act++)
        add_state(out, cell->act[act]);
    text_add(out, "\n");
    text_release(&position);
    text_release(&on);
}

void charttext_csv(struct text *out, const struct chart *chart)
{
    text_add(out, "input,position,output,what is on,stops,only with it,turns "
                  "on,keeps on,turns off,keeps off\n");
    for (uint32_t i = 0; i < chart->n_inputs * chart->n_outputs; i++)
        csv_cell(out, chart, i);
}

/* ---- one cell ---- */

static void add_output(struct text *out, const struct chart *chart,
                       uint32_t cell)
{
    text_add(out, "\"");
    chartwords_output(out, chart, &chart->outputs[cell % chart->n_outputs]);
    text_add(out, "\"");
}

void charttext_begin(struct text *out, const struct chart *chart)
{
    chartwords_title(out, chart);
    text_add(out, "\n\n");
}

void charttext_end(struct text *out, const struct chart *chart,
                   const struct sources *sources)
{
    chartwords_conditions(out, chart, sources);
}

static bool gains(enum chart_act act)
{
    return act == CHART_TURNS_ON || act == CHART_KEEPS_ON;
}

static void add_act(struct text *out, const struct chart *chart,
                    uint32_t cell, enum chart_act act)
{
    bool turns = act == CHART_TURNS_ON || act == CHART_TURNS_OFF;

    add_input(out, chart, cell / chart->n_outputs);
    text_printf(out, ": %s ", turns ? "turns" : "keeps");
    add_output(out, chart, cell);
    text_printf(out, " %s\n", gains(act) ? "on" : "off");
}

void charttext_lost(struct text *out, const struct chart *chart,
                    uint32_t cell, enum chart_act act)
{
    add_act(out, chart, cell, act);
    text_add(out, "  The shortest sequence is not shown: a limit came "
                  "first.\n\n");
}

void charttext_act(struct text *out, const struct chart *chart, uint32_t cell,
                   enum chart_act act, const struct chartshown *shown)
{
    const struct findings findings = {.model = chart->model,
                                      .machine = chart->machine};
    const struct chart_input *input = &chart->inputs[cell / chart->n_outputs];
    bool on = gains(act) == shown->with;

    add_act(out, chart, cell, act);
    sheet_add(out, &findings, shown->sequence, 2);
    text_add(out, "  At the end ");
    add_output(out, chart, cell);
    text_printf(out, " is %s. All else being the same there, but ",
                on ? "on" : "off");
    chartwords_input(out, chart, input);
    text_add(out, " ");
    chartwords_at(out, chart, input, shown->turned);
    text_printf(out, ",\n  it would be %s.\n\n",
                on ? "off" : "on");
}

void charttext_always(struct text *out, const struct chart *chart,
                      uint32_t cell)
{
    const struct chart_cell *of = &chart->cells[cell];
    const char *words[CHARTWORDS_MOST];

    if (chartwords_cell(of, words) == 0) {
        add_input(out, chart, cell / chart->n_outputs);
        text_add(out, ": never makes any difference to ");
        add_output(out, chart, cell);
        text_add(out, "\n\n");
    }
    if (chart_stops(of)) {
        add_input(out, chart, cell / chart->n_outputs);
        text_add(out, ": stops ");
        add_output(out, chart, cell);
        text_add(out, ", which is off in every reachable situation in which "
                      "it stands so\n\n");
    }
    if (chart_only_with(of)) {
        add_input(out, chart, cell / chart->n_outputs);
        text_add(out, ": ");
        add_output(out, chart, cell);
        text_add(out, " is on in no reachable situation in which it does not "
                      "stand so\n\n");
    }
    if (chart_open(of)) {
        add_input(out, chart, cell / chart->n_outputs);
        text_add(out, ": not all of it is known for ");
        add_output(out, chart, cell);
        text_add(out, ", a limit came first\n\n");
    }
}
