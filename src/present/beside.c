#include "present/beside.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "present/columns.h"
#include "present/say.h"
#include "reference/replay.h"
#include "study/compare.h"

enum { TIME, OPERATOR, MACHINE, OLD, NEW, COLUMNS };

static const unsigned widths[COLUMNS] = {7, 21, 22, 19, 19};

static const char *const headings[COLUMNS] = {
    "time", "operator", "machine", "old outputs", "new outputs"};

/* The cells of one row; a cell is lines ended by \n. */
struct row {
    struct text cell[COLUMNS];
};

struct sheet {
    const struct comparison *comparison;
    const struct difference *difference;
    struct findings was, is; /* as much of them as sentences ask for */
    unsigned indent;
};

/* ---- cells ---- */

static void say_value_of(struct text *out, const struct twins_output *output,
                         int64_t value)
{
    if (output->type->kind == TYPE_BOOL) {
        text_printf(out, "%s: %s\n", value != 0 ? "on" : "off",
                    output->title);
        return;
    }
    text_printf(out, "%s: ", output->title);
    say_value(out, output->type, value);
    text_add(out, "\n");
}

static void fill_outputs(struct text *out, const struct sheet *s,
                         uint32_t scan, bool of_new)
{
    for (uint32_t i = 0; i < s->comparison->n_outputs; i++) {
        int64_t now = compare_value(s->comparison, s->difference, of_new, i,
                                    scan);
        int64_t before = scan == 0 ? 0 : compare_value(
            s->comparison, s->difference, of_new, i, scan - 1);

        if (now != before)
            say_value_of(out, &s->comparison->outputs[i], now);
    }
}

/* Does the text hold this very line? */
static bool has_line(const struct text *text, const char *line, size_t n)
{
    for (const char *at = text_str(text); *at != '\0';) {
        size_t length = strcspn(at, "\n");

        if (length == n && memcmp(at, line, n) == 0)
            return true;
        at += length + (at[length] == '\n');
    }
    return false;
}

/* Lines that only the new one knows: of inputs that the old one has not. */
static void add_missing(struct text *out, const struct text *more)
{
    for (const char *at = text_str(more); *at != '\0';) {
        size_t n = strcspn(at, "\n");

        if (!has_line(out, at, n)) {
            text_add_bytes(out, at, n);
            text_add(out, "\n");
        }
        at += n + (at[n] == '\n');
    }
}

static void fill_row(const struct sheet *s, uint32_t scan, struct row *row)
{
    const struct difference *d = s->difference;
    struct text more = {0};

    amount_seconds_in(&row->cell[TIME],
                      replay_time(s->was.model, d->was, scan),
                      pace_step(s->was.model));
    say_operator(&row->cell[OPERATOR], &s->was, d->was, scan);
    say_operator(&more, &s->is, d->is, scan);
    add_missing(&row->cell[OPERATOR], &more);
    text_release(&more);
    say_machine(&row->cell[MACHINE], &s->was, d->was, scan);
    fill_outputs(&row->cell[OLD], s, scan, false);
    fill_outputs(&row->cell[NEW], s, scan, true);
}

static void row_release(struct row *row)
{
    for (int i = 0; i < COLUMNS; i++)
        text_release(&row->cell[i]);
}

static bool row_blank(const struct row *row)
{
    for (int i = OPERATOR; i < COLUMNS; i++)
        if (row->cell[i].n > 0)
            return false;
    return true;
}

/* ---- the sheet ---- */

static void print_cells(struct text *out, const struct sheet *s,
                        const char *const *cells)
{
    struct text lines = {0};

    columns_row(&lines, cells, widths, COLUMNS);
    for (const char *at = text_str(&lines); *at != '\0';) {
        size_t n = strcspn(at, "\n");

        text_pad(out, ' ', s->indent);
        text_add_bytes(out, at, n);
        text_add(out, "\n");
        at += n + (at[n] == '\n');
    }
    text_release(&lines);
}

static void print_row(struct text *out, const struct sheet *s,
                      const struct row *row)
{
    const char *cells[COLUMNS];

    for (int i = 0; i < COLUMNS; i++)
        cells[i] = text_str(&row->cell[i]);
    print_cells(out, s, cells);
}

static void print_pause(struct text *out, const struct sheet *s,
                        int64_t blank)
{
    if (blank == 0)
        return;
    text_pad(out, ' ', s->indent + widths[TIME] + 2);
    text_add(out, "(no change for ");
    amount_seconds(out, blank);
    text_add(out, ")\n");
}

void beside_add(struct text *out, const struct comparison *comparison,
                const struct difference *difference, unsigned indent)
{
    struct sheet s = {
        .comparison = comparison, .difference = difference,
        .was = {.model = comparison->was.model,
                .machine = comparison->old_machine},
        .is = {.model = comparison->is.model,
               .machine = comparison->new_machine},
        .indent = indent};
    uint32_t n = difference->was->n_scans;
    int64_t blank = 0;

    print_cells(out, &s, headings);
    text_pad(out, ' ', indent);
    columns_rule(out, widths, COLUMNS);
    for (uint32_t scan = 0; scan < n; scan++) {
        struct row row = {0};

        fill_row(&s, scan, &row);
        if (row_blank(&row) && scan + 1 < n) {
            blank += replay_time(s.was.model, difference->was, scan + 1) -
                     replay_time(s.was.model, difference->was, scan);
        } else {
            print_pause(out, &s, blank);
            print_row(out, &s, &row);
            blank = 0;
        }
        row_release(&row);
    }
}
