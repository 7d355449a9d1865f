#include "present/timing_text.h"

#include <string.h>

#include "base/text.h"
#include "base/utf8.h"
#include "present/amount.h"
#include "present/lanes.h"
#include "present/timing.h"

enum { WIDTH = 100, LABEL = 30, MOST_CELL = 4 };

struct sheet {
    struct text *out;
    const struct timing *timing;
    const struct lanes *lanes;
    bool plain;
    size_t cell; /* columns of a scan */
};

/* A label of exactly LABEL columns, cut where it is longer. */
static void add_label(struct sheet *s, const char *label)
{
    size_t n = strlen(label), used = 0, columns = 0;
    bool cut = text_columns(label, n) > LABEL - 2;

    while (used < n) {
        struct utf8_char next = utf8_next(label + used, n - used);

        if (columns + next.columns > LABEL - 2 - (cut ? 2u : 0u))
            break;
        columns += next.columns;
        used += next.bytes;
    }
    text_add_bytes(s->out, label, used);
    if (cut)
        text_add(s->out, "..");
    text_pad(s->out, ' ', LABEL - columns - (cut ? 2 : 0));
}

static void add_trace(struct sheet *s, const struct lane *lane,
                      int64_t level, bool any)
{
    for (uint32_t i = 0; i < s->lanes->n_scans; i++) {
        bool on = any ? lane->values[i] != 0 : lane->values[i] == level;

        for (size_t c = 0; c < s->cell; c++)
            text_add(s->out, s->plain ? (on ? "#" : ".")
                                      : (on ? "▔" : "▁"));
    }
    text_add(s->out, "\n");
}

static void add_levels(struct sheet *s, const struct lane *lane)
{
    for (uint32_t k = lane->n_levels; k-- > 0;) {
        struct text label = {0};

        text_printf(&label, "%s ", lane->title);
        lane_value(&label, lane, lane->levels[k]);
        add_label(s, text_str(&label));
        text_release(&label);
        add_trace(s, lane, lane->levels[k], false);
    }
}

/* Values written where they begin, cut where they do not fit. */
static void add_written(struct sheet *s, const struct lane *lane)
{
    uint32_t n = s->lanes->n_scans;

    add_label(s, lane->title);
    for (uint32_t i = 0, end; i < n; i = end) {
        struct text value = {0};
        size_t room;

        for (end = i + 1; end < n && lane->values[end] == lane->values[i];)
            end++;
        room = (end - i) * s->cell - 1;
        text_add_char(s->out, '|');
        lane_value(&value, lane, lane->values[i]);
        if (value.n > room)
            value.n = 0; /* half a number would be a wrong one */
        text_add_bytes(s->out, text_str(&value), value.n);
        text_pad(s->out, ' ', room - value.n);
        text_release(&value);
    }
    text_add(s->out, "\n");
}

/* Numbers of marks under their lane, from left to right. */
static void add_marks(struct sheet *s, const char *lane)
{
    struct text line = {0};

    for (uint32_t i = 0; i < s->lanes->n_scans; i++) {
        size_t column = LABEL + i * s->cell;

        for (uint32_t m = 0; m < s->timing->n_marks; m++) {
            const struct timing_mark *mark = &s->timing->marks[m];

            if (mark->scan != s->lanes->first + i ||
                !timing_mark_in(mark, lane))
                continue;
            if (line.n < column)
                text_pad(&line, ' ', column - line.n);
            text_printf(&line, "(%u)", mark->number);
        }
    }
    if (line.n > 0)
        text_printf(s->out, "%s\n", text_str(&line));
    text_release(&line);
}

static void add_lane(struct sheet *s, const struct lane *lane)
{
    if (lane->on_off) {
        add_label(s, lane->title);
        add_trace(s, lane, 0, true);
    } else if (lane->n_levels <= LANES_MOST_LEVELS) {
        add_levels(s, lane);
    } else {
        add_written(s, lane);
    }
    add_marks(s, lane->name);
}

/* "0.0 s     0.5 s     1.0 s" */
static void add_axis(struct sheet *s)
{
    struct text line = {0};

    add_label(s, "time");
    for (uint32_t i = 0; i < s->lanes->n_scans; i++) {
        struct text time = {0};
        size_t column = i * s->cell;

        amount_seconds(&time, s->lanes->times[i]);
        if ((line.n == 0 ? i == 0 : line.n + 3 <= column) &&
            (i % 5 == 0 || s->lanes->n_scans < 10) &&
            column + time.n <= WIDTH - LABEL) {
            text_pad(&line, ' ', column - line.n);
            text_add(&line, text_str(&time));
        }
        text_release(&time);
    }
    text_printf(s->out, "%s\n", text_str(&line));
    text_release(&line);
}

static void add_end(struct sheet *s)
{
    const struct lanes *lanes = s->lanes;

    text_add(s->out, "\nat ");
    amount_seconds(s->out, lanes->times[lanes->n_scans - 1]);
    text_printf(s->out, ": %s\n", s->timing->at_end);
    if (s->timing->n_marks > 0)
        text_add(s->out, "numbers: the steps that `keepclear why` tells\n");
    if (*lanes->never_on != '\0')
        text_printf(s->out, "off all the time: %s\n", lanes->never_on);
    if (lanes->first > 0)
        text_printf(s->out, "the first %u scans are left out\n",
                    lanes->first);
}

void timing_text(struct text *out, const struct timing *timing, bool plain)
{
    const struct lanes *lanes = timing->lanes;
    struct sheet s = {.out = out, .timing = timing, .lanes = lanes,
                      .plain = plain, .cell = 1};

    while (s.cell < MOST_CELL &&
           (s.cell + 1) * lanes->n_scans <= WIDTH - LABEL)
        s.cell++;
    text_printf(out, "%s\n%s\n\n", timing->title, timing->what);
    add_axis(&s);
    add_marks(&s, NULL);
    for (uint32_t i = 0; i < lanes->n; i++) {
        if (i == 0 || lanes->at[i].group != lanes->at[i - 1].group)
            text_printf(out, "%s\n", lane_heading(lanes->at[i].group));
        add_lane(&s, &lanes->at[i]);
    }
    add_end(&s);
}
