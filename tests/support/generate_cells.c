/* Puzzles of cells: tiles, lamps, frogs and toads; counters of bits. */
#include "tests/support/generate.h"

#include "base/ensure.h"
#include "base/text.h"

static void begin(struct text *out, const char *name, const char *mechanism)
{
    text_printf(out, "REVIEW %s\n  SCAN T#100ms;\n  MECHANISM %s\n    VAR\n",
                name, mechanism);
}

static void end(struct text *out)
{
    text_add(out, ";\n  END_REQUIREMENTS\nEND_REVIEW\n");
}

/* ---- tiles ---- */

/* The tile in cell `from` slides to the blank. */
static bool slide(struct text *out, unsigned to, unsigned from, bool first)
{
    text_printf(out, "      %s c%u := c%u; c%u := 0;\n",
                first ? "MAY" : "OR ", to, from, from);
    return false;
}

static void slides(struct text *out, unsigned cell, unsigned rows,
                   unsigned columns)
{
    bool first = true;

    text_printf(out, "    %s c%u = 0 THEN\n", cell ? "ELSIF" : "IF", cell);
    if (cell % columns > 0)
        first = slide(out, cell, cell - 1, first);
    if (cell % columns < columns - 1)
        first = slide(out, cell, cell + 1, first);
    if (cell / columns > 0)
        first = slide(out, cell, cell - columns, first);
    if (cell / columns < rows - 1)
        slide(out, cell, cell + columns, first);
    text_add(out, "      END_MAY;\n");
}

/* What lies in a cell at the beginning. */
static unsigned tile(unsigned cell, unsigned blank)
{
    return cell == blank ? 0 : cell < blank ? cell + 1 : cell;
}

/* The first two tiles have changed places. */
static void exchanged(struct text *out, unsigned cells, unsigned blank)
{
    for (unsigned i = 0; i < cells; i++) {
        unsigned here = tile(i, blank);

        here = here == 1 ? 2 : here == 2 ? 1 : here;
        text_printf(out, "%s c%u = %u", i ? " AND" : "", i, here);
    }
}

void generate_tiles(struct text *out, unsigned rows, unsigned columns,
                    unsigned blank)
{
    unsigned cells = rows * columns;

    ENSURE(rows >= 2 && columns >= 2 && cells <= 9 && blank < cells);
    begin(out, "Tiles", "Board");
    for (unsigned i = 0; i < cells; i++)
        text_printf(out, "      c%u : USINT (0 .. %u) := %u;\n", i, cells - 1,
                    tile(i, blank));
    text_add(out, "    END_VAR\n");
    for (unsigned i = 0; i < cells; i++)
        slides(out, i, rows, columns);
    text_add(out, "    END_IF;\n  END_MECHANISM\n"
                  "  REQUIREMENTS\n    Exchanged : NEVER");
    exchanged(out, cells, blank);
    end(out);
}

/* ---- lamps ---- */

static bool beside(unsigned a, unsigned b, unsigned n)
{
    unsigned row = a / n > b / n ? a / n - b / n : b / n - a / n;
    unsigned column = a % n > b % n ? a % n - b % n : b % n - a % n;

    return row + column <= 1;
}

void generate_lamps(struct text *out, unsigned n)
{
    ENSURE(n >= 2 && n <= 4);
    begin(out, "Lamps", "Square");
    for (unsigned i = 0; i < n * n; i++)
        text_printf(out, "      l%u : BOOL := FALSE;\n", i);
    text_add(out, "    END_VAR\n");
    for (unsigned pushed = 0; pushed < n * n; pushed++) {
        text_add(out, pushed ? "    OR " : "    MAY");
        for (unsigned i = 0; i < n * n; i++)
            if (beside(pushed, i, n))
                text_printf(out, " l%u := NOT l%u;", i, i);
        text_add(out, "\n");
    }
    text_add(out, "    END_MAY;\n  END_MECHANISM\n"
                  "  REQUIREMENTS\n    AllOn : NEVER");
    for (unsigned i = 0; i < n * n; i++)
        text_printf(out, "%s l%u", i ? " AND" : "", i);
    end(out);
}

/* ---- frogs and toads ---- */

static void hop(struct text *out, unsigned from, unsigned to)
{
    text_printf(out, "    %s IF c%u = %u AND c%u = 0 THEN c%u := c%u;"
                " c%u := 0; END_IF;\n", from == 0 && to == 1 ? "MAY" : "OR ",
                from, from < to ? 1 : 2, to, to, from, from);
}

void generate_frogs(struct text *out, unsigned n)
{
    unsigned last = 2 * n;

    ENSURE(n >= 1 && n <= 4);
    begin(out, "Frogs", "Row");
    for (unsigned i = 0; i <= last; i++)
        text_printf(out, "      c%u : USINT (0 .. 2) := %u;\n", i,
                    i < n ? 1 : i == n ? 0 : 2);
    text_add(out, "    END_VAR\n");
    for (unsigned from = 0; from <= last; from++)
        for (unsigned to = 0; to <= last; to++)
            if (to != from && to <= from + 2 && from <= to + 2)
                hop(out, from, to);
    text_add(out, "    END_MAY;\n  END_MECHANISM\n"
                  "  REQUIREMENTS\n    Changed : NEVER");
    for (unsigned i = 0; i <= last; i++)
        text_printf(out, "%s c%u = %u", i ? " AND" : "", i,
                    i < n ? 2 : i == n ? 0 : 1);
    end(out);
}

/* ---- counters ---- */

static void bits(struct text *out, unsigned n)
{
    ENSURE(n >= 2 && n <= 16);
    text_add(out, "PROGRAM Counter\nVAR\n");
    for (unsigned i = 0; i < n; i++)
        text_printf(out, "    b%u : BOOL;\n", i);
    text_add(out, "END_VAR\n");
}

/* An even number of bits is on: b0 changes.  Else the bit above the lowest
 * that is on, or where there is none the highest. */
void generate_gray(struct text *out, unsigned n)
{
    bits(out, n);
    text_add(out, "IF NOT (b0");
    for (unsigned i = 1; i < n; i++)
        text_printf(out, " XOR b%u", i);
    text_add(out, ") THEN b0 := NOT b0;\n");
    for (unsigned i = 0; i + 2 < n; i++)
        text_printf(out, "ELSIF b%u THEN b%u := NOT b%u;\n", i, i + 1, i + 1);
    text_printf(out, "ELSE b%u := NOT b%u; END_IF;\nEND_PROGRAM\n", n - 1,
                n - 1);
}

void generate_johnson(struct text *out, unsigned n)
{
    bits(out, n);
    text_printf(out, "VAR_TEMP last : BOOL; END_VAR\nlast := b%u;\n", n - 1);
    for (unsigned i = n - 1; i > 0; i--)
        text_printf(out, "b%u := b%u;\n", i, i - 1);
    text_add(out, "b0 := NOT last;\nEND_PROGRAM\n");
}

void generate_counter_review(struct text *out, unsigned n)
{
    text_add(out, "REVIEW Counting\n  SCAN T#100ms;\n"
                  "  REQUIREMENTS\n    Again : NEVER NOT (");
    for (unsigned i = 0; i < n; i++)
        text_printf(out, "%sCounter.b%u", i ? " OR " : "", i);
    text_add(out, ")");
    end(out);
}
