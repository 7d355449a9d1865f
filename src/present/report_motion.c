#include "base/arena.h"
#include "base/text.h"
#include "check/model.h"
#include "present/page.h"
#include "present/report.h"
#include "present/report_parts.h"
#include "present/stoplasts.h"
#include "present/stopshownwords.h"
#include "present/stopwords.h"
#include "study/stopmap.h"

/* Columns of the table side by side. */
enum { COLUMNS = 5 };

/* Words, kept in the arena. */
static const char *kept(const struct report *report, struct text *words)
{
    const char *copy = arena_copy(report->arena, text_str(words), words->n);

    text_release(words);
    return copy;
}

static void add_cuts(struct text *out, const struct stopmap *map)
{
    struct text limits = {0};

    stopwords_limits(&limits, map);
    if (limits.n > 0) {
        page_open(out, "div", "frame");
        page_lines(out, text_str(&limits));
        page_close(out, "div");
    }
    text_release(&limits);
}

/* ---- in short ---- */

static void add_list(struct text *words, const struct stopmap *map,
                     uint32_t column, bool known)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < map->n_lines; i++) {
        enum chart_state on = stopmap_cell(map, i, column)->on;

        if (map->lines[i].part ||
            on != (known ? CHART_SEEN : CHART_NOT_KNOWN))
            continue;
        text_add(words, n++ > 0 ? ", " : known ? "" : "; not known of: ");
        stopwords_line(words, map, i);
    }
    if (known && n == 0)
        text_add(words, "no actuator that can move something");
}

static void add_group(struct text *out, const struct stopmap *map,
                      const struct stopnotes *notes, uint32_t group)
{
    uint32_t column = notes->columns[group];
    struct text name = {0}, words = {0};

    stopwords_column(&name, map, notes, group);
    if (map->columns[column].occurs == CHART_NEVER) {
        text_add(&words, "the assumptions leave no such situation");
    } else {
        add_list(&words, map, column, true);
        add_list(&words, map, column, false);
    }
    page_named(out, "li", text_str(&name), text_str(&words));
    text_release(&name);
    text_release(&words);
}

static void add_groups(struct text *out, const struct report *report)
{
    const struct stopmap *map = report->stops;
    const struct stopnotes notes = stopwords_notes(report->arena, map, false);

    for (uint32_t g = 0; g < notes.n_columns; g++)
        if (map->columns[notes.columns[g]].kind != STOPMAP_RESCUE)
            add_group(out, map, &notes, g);
}

void report_motion(struct text *out, const struct report *report)
{
    const struct stopmap *map = report->stops;

    page_element(out, "h3", NULL,
                 "Motion that remains possible while a stop is latched");
    if (map != NULL)
        add_cuts(out, map);
    page_open(out, "ul", NULL);
    if (map == NULL)
        page_element(out, "li", NULL, "Not looked at.");
    else if (map->n_stops == 0)
        page_element(out, "li", NULL, "No control is declared as a stop.");
    else
        add_groups(out, report);
    page_close(out, "ul");
    page_element(out, "p", "note",
                 "What is on at some moment at which the stop is pressed, "
                 "without any fault. Part 5 has what stops the rest, and what "
                 "is so whenever this is on.");
}

/* ---- the whole map ---- */

static const char *cell_words(const struct report *report,
                              const struct stopnotes *notes, uint32_t line,
                              uint32_t column)
{
    struct text words = {0};

    stopwords_cell(&words, report->stops, line, column,
                   notes->of[line * report->stops->n_columns + column]);
    if (stopwords_motion(report->stops, line, column)) {
        text_add(&words, "\n");
        stoplasts_cell(&words, report->stops, line, column);
    }
    return kept(report, &words);
}

static const char *line_words(const struct report *report, uint32_t line)
{
    struct text words = {0};

    stopwords_line(&words, report->stops, line);
    return kept(report, &words);
}

static const char *head_words(const struct report *report,
                              const struct stopnotes *notes, uint32_t group)
{
    struct text words = {0};

    stopwords_column(&words, report->stops, notes, group);
    return kept(report, &words);
}

static void add_block(struct text *out, const struct report *report,
                      const struct stopnotes *notes, uint32_t first,
                      uint32_t columns)
{
    const char *cells[1 + COLUMNS] = {"what can move"};

    for (uint32_t i = 0; i < columns; i++)
        cells[1 + i] = head_words(report, notes, first + i);
    page_table(out, "effects", cells, 1 + columns);
    for (uint32_t line = 0; line < report->stops->n_lines; line++) {
        cells[0] = line_words(report, line);
        for (uint32_t i = 0; i < columns; i++)
            cells[1 + i] = cell_words(report, notes, line,
                                      notes->columns[first + i]);
        page_row(out, "td", cells, 1 + columns);
    }
    page_close(out, "table");
}

static void add_blocks(struct text *out, const struct report *report,
                       const struct stopnotes *notes)
{
    uint32_t n = notes->n_columns, blocks = (n + COLUMNS - 1) / COLUMNS;
    uint32_t wide = blocks == 0 ? 1 : (n + blocks - 1) / blocks;

    for (uint32_t first = 0; first < n; first += wide)
        add_block(out, report, notes, first,
                  n - first < wide ? n - first : wide);
}

static void add_notes(struct text *out, const struct report *report,
                      const struct stopnotes *notes)
{
    struct stopwords_row rows[STOPWORDS_WORDS];
    unsigned n = stopwords_meanings(report->stops, rows);

    for (uint32_t i = 0; i < notes->n; i++)
        page_named(out, "p",
                   arena_printf(report->arena, "(%u)", (unsigned)(i + 1)),
                   notes->at[i]);
    page_open(out, "ul", NULL);
    for (unsigned i = 0; i < n; i++)
        page_named(out, "li", rows[i].word, rows[i].meaning);
    page_close(out, "ul");
}

/* ---- the sequences behind it ---- */

static void add_sequence(struct text *out, const struct report *report,
                         uint32_t line, uint32_t column)
{
    const struct stopmap *map = report->stops;
    const struct stopmap_cell *cell = stopmap_cell(map, line, column);
    struct text words = {0};

    stopshownwords_heading(&words, map, line, column);
    page_element(out, "h4", NULL, text_str(&words));
    text_clear(&words);
    stoplasts_sentence(&words, map, line, column);
    page_element(out, "p", NULL, text_str(&words));
    text_release(&words);
    if (cell->shown == NULL)
        page_element(out, "p", NULL, "The shortest sequence is not shown: a "
                                     "limit came first.");
    else
        report_sheet(out, report->findings, cell->shown);
}

static void add_sequences(struct text *out, const struct report *report,
                          const struct stopnotes *notes)
{
    const struct stopmap *map = report->stops;
    uint32_t n = 0;

    for (uint32_t line = 0; line < map->n_lines; line++)
        for (uint32_t g = 0; g < notes->n_columns; g++) {
            uint32_t column = notes->columns[g];

            if (stopmap_cell(map, line, column)->on != CHART_SEEN)
                continue;
            if (n++ == 0)
                page_element(out, "h3", NULL,
                             "The shortest sequence to each motion that "
                             "remains possible");
            add_sequence(out, report, line, column);
        }
}

void report_stops(struct text *out, const struct report *report)
{
    const struct stopmap *map = report->stops;
    struct stopnotes notes;
    struct text scope = {0};

    page_element(out, "h2", NULL, "5  What each stop stops");
    if (map == NULL) {
        page_element(out, "p", NULL, "Not looked at.");
        return;
    }
    notes = stopwords_notes(report->arena, map, false);
    add_cuts(out, map);
    if (map->n_stops == 0)
        page_element(out, "p", NULL, "No control is declared as a stop.");
    if (map->n_lines > 0)
        add_blocks(out, report, &notes);
    add_notes(out, report, &notes);
    stopwords_scope(&scope, map);
    page_element(out, "p", "note", text_str(&scope));
    text_release(&scope);
    add_sequences(out, report, &notes);
}
