#include "present/columns.h"

#include <stdbool.h>
#include <string.h>

#include "base/ensure.h"
#include "base/text.h"

enum { CELLS_MOST = 8, GAP = 2 };

/* Bytes of the next line of a cell, and behind them the blanks. */
static size_t line_length(const char *cell, unsigned width)
{
    size_t fits = 0, at = 0;

    while (cell[at] != '\0' && cell[at] != '\n') {
        size_t word = at + strspn(cell + at, " ");
        size_t end = word + strcspn(cell + word, " \n");

        if (fits > 0 && text_columns(cell, end) > width)
            return fits;
        fits = at = end;
    }
    return fits;
}

static const char *behind(const char *cell, size_t n)
{
    cell += n;
    cell += strspn(cell, " ");
    return *cell == '\n' ? cell + 1 : cell;
}

/* One line of all cells; false when nothing was left of any. */
static bool add_line(struct text *out, const char **rest,
                     const unsigned *width, uint32_t n)
{
    size_t blanks = 0;
    bool any = false;

    for (uint32_t i = 0; i < n; i++)
        any = any || *rest[i] != '\0';
    for (uint32_t i = 0; any && i < n; i++) {
        size_t length = line_length(rest[i], width[i]);
        size_t wide = text_columns(rest[i], length);

        if (length > 0) {
            text_pad(out, ' ', blanks);
            text_add_bytes(out, rest[i], length);
            blanks = 0;
        }
        blanks += (wide < width[i] ? width[i] - wide : 0) + GAP;
        rest[i] = behind(rest[i], length);
    }
    if (any)
        text_add(out, "\n");
    return any;
}

void columns_row(struct text *out, const char *const *cells,
                 const unsigned *width, uint32_t n)
{
    const char *rest[CELLS_MOST];

    ENSURE(n <= CELLS_MOST);
    for (uint32_t i = 0; i < n; i++)
        rest[i] = cells[i];
    while (add_line(out, rest, width, n))
        ;
}

void columns_rule(struct text *out, const unsigned *width, uint32_t n)
{
    size_t wide = 0;

    for (uint32_t i = 0; i < n; i++)
        wide += width[i] + (i > 0 ? GAP : 0);
    text_pad(out, '-', wide);
    text_add(out, "\n");
}
