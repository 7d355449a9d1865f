#include "present/sheet.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "present/marked.h"
#include "present/say.h"
#include "reference/replay.h"
#include "study/findings.h"

enum { COLUMNS = SHEET_COLUMNS, TIME = 0, GAP = 3, WIDEST = 34,
       LONGEST = 400, ACROSS = 100, NARROWEST = 12 };

static const char *const headings[COLUMNS] = {
    "time", "operator", "machine", "outputs"};

/* The cells of one row; a cell is lines ended by \n. */
struct row {
    struct text cell[COLUMNS];
};

struct sheet {
    const struct findings *findings;
    const struct replay *replay;
    const struct why *why; /* or NULL */
    unsigned indent;
    size_t width[COLUMNS];
};

static void row_release(struct row *row)
{
    for (int c = 0; c < COLUMNS; c++)
        text_release(&row->cell[c]);
}

/* Length of the first line of a cell that fits into width, at least one
 * character; broken at a blank where there is one. */
static size_t line_length(const char *at, size_t width)
{
    size_t end = strcspn(at, "\n"), best = 0;

    if (text_columns(at, end) <= width)
        return end;
    for (size_t i = 1; i < end && text_columns(at, i) <= width; i++)
        if (at[i] == ' ')
            best = i;
    if (best > 0)
        return best;
    do
        best++;
    while (best < end && (text_columns(at, best) < width ||
                          ((unsigned char)at[best] & 0xC0) == 0x80));
    return best;
}

/* Takes the next line off a cell; *n gets its length. */
static const char *take_line(const char **at, size_t width, size_t *n)
{
    const char *line = *at;

    *n = line_length(line, width);
    *at += *n;
    while (**at == ' ')
        (*at)++;
    if (**at == '\n')
        (*at)++;
    return line;
}

static void fill_row(const struct sheet *sheet, uint32_t scan,
                     struct row *row)
{
    const struct model *model = sheet->findings->model;

    amount_seconds_in(&row->cell[TIME],
                      replay_time(model, sheet->replay, scan),
                      pace_step(model));
    say_operator(&row->cell[1], sheet->findings, sheet->replay, scan);
    say_machine(&row->cell[2], sheet->findings, sheet->replay, scan);
    say_outputs(&row->cell[3], sheet->findings, sheet->replay, scan);
    if (sheet->why == NULL)
        return;
    marked_operator(&row->cell[1], sheet->why, sheet->replay, scan);
    marked_machine(&row->cell[2], sheet->why, scan);
}

static bool row_blank(const struct row *row)
{
    return row->cell[1].n == 0 && row->cell[2].n == 0 && row->cell[3].n == 0;
}

static void measure(struct sheet *sheet, const struct row *row)
{
    for (int c = 0; c < COLUMNS; c++) {
        const char *at = text_str(&row->cell[c]);

        while (*at != '\0') {
            size_t n, columns;
            const char *line = take_line(&at, WIDEST, &n);

            columns = text_columns(line, n);
            if (columns > sheet->width[c])
                sheet->width[c] = columns;
        }
    }
}

static void print_row(struct text *out, const struct sheet *sheet,
                      const char *const *cells)
{
    const char *at[COLUMNS];
    bool more = true;

    for (int c = 0; c < COLUMNS; c++)
        at[c] = cells[c];
    while (more) {
        size_t owed = sheet->indent;

        more = false;
        for (int c = 0; c < COLUMNS; c++) {
            size_t n = 0;
            const char *line = take_line(&at[c], sheet->width[c], &n);

            if (n > 0) {
                text_pad(out, ' ', owed);
                text_add_bytes(out, line, n);
                owed = 0;
            }
            owed += sheet->width[c] - text_columns(line, n) + GAP;
            more = more || *at[c] != '\0';
        }
        text_add(out, "\n");
    }
}

static void print_rule(struct text *out, const struct sheet *sheet)
{
    size_t total = 0;

    for (int c = 0; c < COLUMNS; c++)
        total += sheet->width[c] + (c > 0 ? GAP : 0);
    text_pad(out, ' ', sheet->indent);
    text_pad(out, '-', total);
    text_add(out, "\n");
}

/* Of a sequence of more than LONGEST scans the middle is left out: how many
 * scans, if that begins at `scan`. */
static uint32_t left_out(const struct sheet *sheet, uint32_t scan)
{
    uint32_t n = sheet->replay->n_scans;

    return n > LONGEST && scan == LONGEST / 2 ? n - LONGEST : 0;
}

/* The widest columns give way until the sheet fits. */
static void fit(struct sheet *sheet)
{
    for (;;) {
        size_t total = sheet->indent;
        int widest = 1;

        for (int c = 0; c < COLUMNS; c++) {
            total += sheet->width[c] + (c > 0 ? GAP : 0);
            if (c > 1 && sheet->width[c] > sheet->width[widest])
                widest = c;
        }
        if (total <= ACROSS || sheet->width[widest] <= NARROWEST)
            return;
        sheet->width[widest]--;
    }
}

static void measure_all(struct sheet *sheet)
{
    for (int c = 0; c < COLUMNS; c++)
        sheet->width[c] = strlen(headings[c]);
    for (uint32_t scan = 0; scan < sheet->replay->n_scans; scan++) {
        struct row row = {0};

        scan += left_out(sheet, scan);
        fill_row(sheet, scan, &row);
        measure(sheet, &row);
        row_release(&row);
    }
    fit(sheet);
}

/* The time of one scan, ms. */
static int64_t length_of(const struct sheet *sheet, uint32_t scan)
{
    const struct model *model = sheet->findings->model;

    return replay_time(model, sheet->replay, scan + 1) -
           replay_time(model, sheet->replay, scan);
}

/* ---- what stands between two rows ---- */

/* "no change for 2.3 s": so long nothing was to be told. */
static void say_pause(struct text *words, int64_t blank)
{
    text_add(words, "(no change for ");
    amount_seconds(words, blank);
    text_add(words, ")");
}

static void say_gap(struct text *words, uint32_t scans)
{
    text_add(words, "(");
    amount_of(words, scans, "scan");
    text_add(words, " left out here)");
}

/* Who is told of the rows. */
struct listener {
    void (*row)(void *context, const struct sheet_row *row);
    void *context;
};

static void tell_note(const struct listener *listener, struct text *words)
{
    const struct sheet_row row = {.note = text_str(words)};

    listener->row(listener->context, &row);
    text_clear(words);
}

static void tell_row(const struct listener *listener, const struct row *row)
{
    struct sheet_row told = {.note = NULL};

    for (int c = 0; c < COLUMNS; c++)
        told.cell[c] = text_str(&row->cell[c]);
    listener->row(listener->context, &told);
}

static void each(const struct sheet *sheet, const struct listener *listener)
{
    struct text note = {0};
    int64_t blank = 0;
    uint32_t n = sheet->replay->n_scans;

    for (uint32_t scan = 0; scan < n; scan++) {
        struct row row = {0};
        uint32_t gap = left_out(sheet, scan);

        if (gap > 0) {
            say_gap(&note, gap);
            tell_note(listener, &note);
        }
        scan += gap;
        fill_row(sheet, scan, &row);
        if (row_blank(&row) && scan + 1 < n) {
            blank += length_of(sheet, scan);
        } else {
            if (blank > 0) {
                say_pause(&note, blank);
                tell_note(listener, &note);
            }
            tell_row(listener, &row);
            blank = 0;
        }
        row_release(&row);
    }
    text_release(&note);
}

void sheet_each(const struct findings *findings, const struct replay *replay,
                const struct why *why,
                void (*row)(void *context, const struct sheet_row *row),
                void *context)
{
    const struct sheet sheet = {.findings = findings, .replay = replay,
                                .why = why};

    each(&sheet, &(struct listener){row, context});
}

const char *sheet_heading(int column)
{
    return headings[column];
}

/* ---- as text ---- */

struct printing {
    struct text *out;
    const struct sheet *sheet;
};

static void print(void *context, const struct sheet_row *row)
{
    const struct printing *p = context;

    if (row->note == NULL) {
        print_row(p->out, p->sheet, row->cell);
        return;
    }
    text_pad(p->out, ' ', p->sheet->indent + p->sheet->width[TIME] + GAP);
    text_printf(p->out, "%s\n", row->note);
}

void sheet_add(struct text *out, const struct findings *findings,
               const struct replay *replay, unsigned indent)
{
    sheet_add_marked(out, findings, replay, NULL, indent);
}

void sheet_add_marked(struct text *out, const struct findings *findings,
                      const struct replay *replay, const struct why *why,
                      unsigned indent)
{
    struct sheet sheet = {.findings = findings, .replay = replay,
                          .why = why, .indent = indent};
    struct printing printing = {out, &sheet};

    measure_all(&sheet);
    print_row(out, &sheet, headings);
    print_rule(out, &sheet);
    each(&sheet, &(struct listener){print, &printing});
}
