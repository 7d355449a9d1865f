#include "present/stopsvg.h"

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/stoplasts.h"
#include "present/stopwords.h"
#include "present/svgsheet.h"
#include "study/stopmap.h"

/* Units of the sheet (present/svgsheet.h). */
enum {
    MARGIN = SVGSHEET_MARGIN, LINE = SVGSHEET_LINE, FROM = 196, MOST_CELL = 120,
    COLUMNS = 6, PAD = 5, GAP = 24, LETTER = 7,
    LABEL_LETTERS = 24, NOTE_LETTERS = 112, WORD_LETTERS = 106,
    WORD = 100, MEANING_LETTERS = 96, NUMBER = 30
};

struct picture {
    struct svgsheet sheet;
    const struct stopmap *map;
    const struct stopnotes *notes;
    int cell; /* width of a column */
};

static int paragraph(struct picture *p, int x, size_t letters,
                     const char *kind, const char *words)
{
    return svgsheet_paragraph(&p->sheet,
                              (const int[2]){x, p->sheet.top + LINE}, letters,
                              kind, words);
}

static void rule(struct picture *p, const char *kind, uint32_t columns)
{
    svgsheet_line(&p->sheet, (const int[2]){MARGIN, p->sheet.top},
                  (const int[2]){FROM + (int)columns * p->cell, p->sheet.top},
                  kind);
}

/* ---- one block of columns ---- */

static void draw_head(struct picture *p, uint32_t first, uint32_t columns)
{
    int most = 1;

    for (uint32_t i = 0; i < columns; i++) {
        struct text words = {0};
        int lines;

        stopwords_column(&words, p->map, p->notes, first + i);
        lines = paragraph(p, FROM + (int)i * p->cell + PAD,
                          (size_t)(p->cell / LETTER), "small",
                          text_str(&words));
        most = lines > most ? lines : most;
        text_release(&words);
    }
    p->sheet.top += most * LINE + PAD;
    rule(p, "thick", columns);
}

/* Framed, and therefore in small letters. */
static void quietly(struct text *words)
{
    for (size_t i = 0; i < words->n; i++)
        if (words->at[i] >= 'A' && words->at[i] <= 'Z')
            words->at[i] = (char)(words->at[i] - 'A' + 'a');
}

static void draw_number(struct picture *p, uint32_t note, int right)
{
    struct text number = {0};

    if (note > 0)
        text_printf(&number, "%u", (unsigned)note);
    svgsheet_say(&p->sheet,
                 (const int[2]){right - 8 * (int)number.n,
                                p->sheet.top + LINE - 2},
                 "group", text_str(&number));
    text_release(&number);
}

static int draw_cell(struct picture *p, uint32_t line, uint32_t column,
                     int x)
{
    struct text words = {0};
    uint32_t note = p->notes->of[line * p->map->n_columns + column];
    bool motion = stopwords_motion(p->map, line, column);
    int lines;

    stopwords_cell(&words, p->map, line, column, 0);
    if (motion) {
        quietly(&words);
        draw_number(p, note, x - PAD + p->cell - 4);
    }
    lines = paragraph(p, x, (size_t)(p->cell / LETTER),
                      motion ? "motion" : "small", text_str(&words));
    text_clear(&words);
    if (motion) {
        stoplasts_cell(&words, p->map, line, column);
        lines += svgsheet_paragraph(
            &p->sheet, (const int[2]){x, p->sheet.top + (lines + 1) * LINE},
            (size_t)(p->cell / LETTER), "small", text_str(&words));
    }
    text_release(&words);
    return lines;
}

static void frame(struct picture *p, uint32_t column, int height)
{
    text_printf(&p->sheet.out,
                "<rect class=\"frame\" x=\"%d\" y=\"%d\" width=\"%d\" "
                "height=\"%d\"/>\n",
                FROM + (int)column * p->cell + 2, p->sheet.top + 2, p->cell - 4,
                height - 4);
}

static void draw_line(struct picture *p, uint32_t line, uint32_t first,
                      uint32_t columns)
{
    struct text words = {0};
    int most;

    stopwords_line(&words, p->map, line);
    most = paragraph(p, MARGIN, LABEL_LETTERS,
                     p->map->lines[line].part ? "always" : "input",
                     text_str(&words));
    text_release(&words);
    for (uint32_t i = 0; i < columns; i++) {
        int lines = draw_cell(p, line, p->notes->columns[first + i],
                              FROM + (int)i * p->cell + PAD);

        most = lines > most ? lines : most;
    }
    for (uint32_t i = 0; i < columns; i++)
        if (stopwords_motion(p->map, line, p->notes->columns[first + i]))
            frame(p, i, most * LINE + PAD + 2);
    p->sheet.top += most * LINE + PAD + 2;
    rule(p, p->map->lines[line].part ? "plain" : "thin", columns);
}

static void uprights(struct picture *p, int from, uint32_t columns)
{
    for (uint32_t i = 0; i <= columns; i++)
        svgsheet_line(&p->sheet, (const int[2]){FROM + (int)i * p->cell, from},
                      (const int[2]){FROM + (int)i * p->cell, p->sheet.top},
                      "thin");
}

/* Blocks as wide as one another. */
static void draw_blocks(struct picture *p)
{
    uint32_t n = p->notes->n_columns, blocks = (n + COLUMNS - 1) / COLUMNS;
    uint32_t wide = blocks == 0 ? 1 : (n + blocks - 1) / blocks;
    int room = (SVGSHEET_WIDTH - MARGIN - FROM) / (int)wide;

    p->cell = room < MOST_CELL ? room : MOST_CELL;
    for (uint32_t first = 0; first < n; first += wide) {
        uint32_t columns = n - first < wide ? n - first : wide;
        int from = p->sheet.top;

        draw_head(p, first, columns);
        for (uint32_t i = 0; i < p->map->n_lines; i++)
            draw_line(p, i, first, columns);
        uprights(p, from, columns);
        p->sheet.top += GAP;
    }
}

/* ---- around it ---- */

static void draw_notes(struct picture *p)
{
    for (uint32_t i = 0; i < p->notes->n; i++) {
        struct text number = {0};

        text_printf(&number, "%u", (unsigned)(i + 1));
        svgsheet_say(&p->sheet, (const int[2]){MARGIN, p->sheet.top + LINE},
                     "small", text_str(&number));
        text_release(&number);
        p->sheet.top += paragraph(p, MARGIN + NUMBER, WORD_LETTERS, "small",
                                  p->notes->at[i]) * LINE;
    }
    p->sheet.top += PAD;
}

static void draw_meanings(struct picture *p)
{
    struct stopwords_row rows[STOPWORDS_WORDS];
    unsigned n = stopwords_meanings(p->map, rows);

    for (unsigned i = 0; i < n; i++) {
        struct text word = {0};

        text_add(&word, rows[i].word);
        quietly(&word);
        svgsheet_say(&p->sheet, (const int[2]){MARGIN, p->sheet.top + LINE},
                     "note", text_str(&word));
        text_release(&word);
        p->sheet.top += paragraph(p, MARGIN + WORD, MEANING_LETTERS, "note",
                                  rows[i].meaning) * LINE;
    }
    p->sheet.top += PAD;
}

static void draw_words(struct picture *p, size_t letters, const char *kind,
                       const char *words)
{
    p->sheet.top += paragraph(p, MARGIN, letters, kind, words) * LINE;
}

/* What cuts it short stands before the table. */
static void draw_limits(struct picture *p)
{
    struct text words = {0};

    stopwords_limits(&words, p->map);
    if (p->map->n_stops == 0)
        text_add(&words, "No control is declared as a stop.");
    if (p->map->n_lines == 0)
        text_add(&words, " Nothing is declared that moves.");
    draw_words(p, NOTE_LETTERS - 8, "always", text_str(&words));
    text_release(&words);
    p->sheet.top += PAD;
}

static void draw_scope(struct picture *p)
{
    struct text words = {0};

    stopwords_scope(&words, p->map);
    text_add(&words, " The map as text names the controls that must be at "
                     "rest, and assumptions and other conditions. A design "
                     "aid: standards in force, local law, "
                     "tests on the machine and the review of a competent "
                     "person decide.");
    draw_words(p, NOTE_LETTERS, "note", text_str(&words));
    text_release(&words);
}

void stopsvg_add(struct text *out, const struct stopmap *map)
{
    struct arena *arena = arena_new();
    const struct stopnotes notes = stopwords_notes(arena, map, true);
    struct picture p = {.map = map, .notes = &notes, .sheet.top = 8};
    struct text title = {0};

    stopwords_title(&title, map);
    draw_words(&p, 80, "title", text_str(&title));
    draw_limits(&p);
    if (map->n_lines > 0)
        draw_blocks(&p);
    draw_notes(&p);
    draw_meanings(&p);
    draw_scope(&p);
    svgsheet_end(out, &p.sheet, text_str(&title));
    text_release(&title);
    arena_free(arena);
}
