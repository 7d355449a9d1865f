#include "present/stoptext.h"

#include "base/arena.h"
#include "base/text.h"
#include "present/columns.h"
#include "present/stoplasts.h"
#include "present/stopwords.h"
#include "study/stopmap.h"

enum { LABEL = 28, CELL = 12, COLUMNS = 5, WIDTH = 100, NUMBER = 4,
       WORD = 13 };

static void paragraph(struct text *out, const char *words)
{
    const unsigned width[] = {WIDTH};

    columns_row(out, &words, width, 1);
}

/* ---- the table ---- */

struct block {
    const struct stopmap *map;
    const struct stopnotes *notes;
    uint32_t first, columns;
};

/* Cells of a row, filled one by one. */
struct row {
    struct text words[1 + COLUMNS];
};

static void end_row(struct text *out, struct row *row, uint32_t columns)
{
    const char *cells[1 + COLUMNS];
    unsigned width[1 + COLUMNS];

    for (uint32_t i = 0; i <= columns; i++) {
        cells[i] = text_str(&row->words[i]);
        width[i] = i == 0 ? LABEL : CELL;
    }
    columns_row(out, cells, width, columns + 1);
    for (uint32_t i = 0; i <= columns; i++)
        text_release(&row->words[i]);
}

static void add_head(struct text *out, const struct block *block)
{
    unsigned width[1 + COLUMNS];
    struct row row = {0};

    for (uint32_t i = 0; i < block->columns; i++)
        stopwords_column(&row.words[i + 1], block->map, block->notes,
                         block->first + i);
    end_row(out, &row, block->columns);
    for (uint32_t i = 0; i <= block->columns; i++)
        width[i] = i == 0 ? LABEL : CELL;
    columns_rule(out, width, block->columns + 1);
}

static void add_line(struct text *out, const struct block *block,
                     uint32_t line)
{
    struct row row = {0};

    stopwords_line(&row.words[0], block->map, line);
    for (uint32_t i = 0; i < block->columns; i++) {
        uint32_t column = block->notes->columns[block->first + i];

        stopwords_cell(&row.words[i + 1], block->map, line, column,
                       block->notes->of[line * block->map->n_columns +
                                        column]);
        if (stopwords_motion(block->map, line, column)) {
            text_add(&row.words[i + 1], "\n");
            stoplasts_cell(&row.words[i + 1], block->map, line, column);
        }
    }
    end_row(out, &row, block->columns);
    if (block->map->lines[line].part && line + 1 < block->map->n_lines)
        text_add(out, "\n");
}

/* Blocks as wide as one another. */
static void add_blocks(struct text *out, const struct stopmap *map,
                       const struct stopnotes *notes)
{
    uint32_t n = notes->n_columns, blocks = (n + COLUMNS - 1) / COLUMNS;
    uint32_t wide = blocks == 0 ? 1 : (n + blocks - 1) / blocks;

    for (uint32_t first = 0; first < n; first += wide) {
        uint32_t left = n - first;
        const struct block block = {map, notes, first,
                                    left < wide ? left : wide};

        add_head(out, &block);
        for (uint32_t i = 0; i < map->n_lines; i++)
            add_line(out, &block, i);
        text_add(out, "\n");
    }
}

/* ---- below it ---- */

static void add_notes(struct text *out, const struct stopnotes *notes)
{
    const unsigned width[] = {NUMBER, WIDTH - NUMBER - 2};

    for (uint32_t i = 0; i < notes->n; i++) {
        struct text number = {0};
        const char *cells[2];

        text_printf(&number, "(%u)", (unsigned)(i + 1));
        cells[0] = text_str(&number);
        cells[1] = notes->at[i];
        columns_row(out, cells, width, 2);
        text_release(&number);
    }
    if (notes->n > 0)
        text_add(out, "\n");
}

static void add_meanings(struct text *out, const struct stopmap *map)
{
    const unsigned width[] = {WORD, WIDTH - WORD - 2};
    struct stopwords_row rows[STOPWORDS_WORDS];
    unsigned n = stopwords_meanings(map, rows);

    for (unsigned i = 0; i < n; i++) {
        const char *const cells[] = {rows[i].word, rows[i].meaning};

        columns_row(out, cells, width, 2);
    }
    if (n > 0)
        text_add(out, "\n");
}

static void add_scope(struct text *out, const struct stopmap *map)
{
    struct text words = {0};

    stopwords_scope(&words, map);
    paragraph(out, text_str(&words));
    text_add(out, "\n");
    text_release(&words);
}

static void add_title(struct text *out, const struct stopmap *map)
{
    struct text words = {0};

    stopwords_title(&words, map);
    paragraph(out, text_str(&words));
    text_add(out, "\n");
    text_release(&words);
}

void stoptext_add(struct text *out, const struct stopmap *map,
                  const struct sources *sources)
{
    struct arena *arena = arena_new();
    const struct stopnotes notes = stopwords_notes(arena, map, false);

    add_title(out, map);
    stopwords_limits(out, map);
    if (map->n_stops == 0)
        text_add(out, "No control is declared as a stop.\n\n");
    if (map->n_lines == 0)
        text_add(out, "Nothing is declared that moves.\n\n");
    if (map->n_lines > 0)
        add_blocks(out, map, &notes);
    add_notes(out, &notes);
    add_meanings(out, map);
    add_scope(out, map);
    stopwords_conditions(out, map, sources);
    arena_free(arena);
}
