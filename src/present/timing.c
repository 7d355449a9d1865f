#include "present/timing.h"

#include <inttypes.h>
#include <limits.h>
#include <string.h>

#include "base/text.h"
#include "check/type.h"
#include "present/amount.h"
#include "present/lanes.h"
#include "present/markup.h"

/* Units of the picture: 4 to a millimetre on paper, so that 13 is a letter
 * of some 9 points.  190 mm wide. */
enum {
    WIDTH = 760, MARGIN = 10, FROM = 230, TO = WIDTH - 24,
    LINE = 16,
    ON_OFF = 30, LEVEL = 17, CURVE = 72, HEADING = 26,
    BAR = 16, WIDEST_SCAN = 64, NAME_COLUMNS = 22, TITLE_COLUMNS = 88
};

struct picture {
    struct text *out;
    const struct timing *timing;
    const struct lanes *lanes;
    int top;    /* of the lane at hand */
    int height; /* of the whole, known when all is drawn */
};

/* Do all scans take the same time? */
static bool is_even(const struct lanes *lanes)
{
    return lanes->shortest == lanes->longest;
}

/* Place of the beginning of a scan, in tenths of a unit. */
static int tenths_at(const struct picture *p, uint32_t scan)
{
    int n = (int)p->lanes->n_scans, width = (TO - FROM) * 10;

    if (width > n * WIDEST_SCAN * 10)
        width = n * WIDEST_SCAN * 10;
    if (is_even(p->lanes) || n == 0)
        return FROM * 10 + (int)((int64_t)width * scan / (n > 0 ? n : 1));
    return FROM * 10 +
           (int)((p->lanes->times[scan] - p->lanes->times[0]) * width /
                 (p->lanes->times[n] - p->lanes->times[0]));
}

static void add_tenths(struct text *out, int tenths)
{
    text_printf(out, "%d.%d", tenths / 10, tenths % 10);
}

/* ---- words ---- */

/* how: further attributes, with a blank before each. */
static void say(struct picture *p, int tenths, int y, const char *how,
                const char *what)
{
    text_add(p->out, "<text x=\"");
    add_tenths(p->out, tenths);
    text_printf(p->out, "\" y=\"%d\"%s>", y, how);
    markup_add(p->out, what, strlen(what));
    text_add(p->out, "</text>\n");
}

enum { NAME_LINES = 4 }; /* of a lane; a title has more room */

/* At most `most` lines, the last one cut with dots; the lines used. */
static int paragraph(struct picture *p, int y, const char *how,
                     const char *at, int most)
{
    int lines = 0;

    while (*at != '\0' && lines < most) {
        size_t n = markup_line(at, most == NAME_LINES ? NAME_COLUMNS
                                                 : TITLE_COLUMNS);
        struct text line = {0};

        text_add_bytes(&line, at, n);
        at += n;
        while (*at == ' ')
            at++;
        if (++lines == most && *at != '\0')
            text_add(&line, " …");
        say(p, MARGIN * 10, y + (lines - 1) * LINE, how, text_str(&line));
        text_release(&line);
    }
    return lines;
}

/* ---- lines ---- */

static void line(struct picture *p, const char *kind, const int at[4])
{
    text_printf(p->out, "<line class=\"%s\" x1=\"", kind);
    add_tenths(p->out, at[0]);
    text_printf(p->out, "\" y1=\"%d\" x2=\"", at[1]);
    add_tenths(p->out, at[2]);
    text_printf(p->out, "\" y2=\"%d\"/>\n", at[3]);
}

static void across(struct picture *p, const char *kind, int y)
{
    line(p, kind, (const int[4]){FROM * 10, y,
                                 tenths_at(p, p->lanes->n_scans), y});
}

static void box(struct picture *p, const char *kind, const int at[4])
{
    text_printf(p->out, "<rect class=\"%s\" x=\"", kind);
    add_tenths(p->out, at[0]);
    text_printf(p->out, "\" y=\"%d\" width=\"", at[1]);
    add_tenths(p->out, at[2] - at[0]);
    text_printf(p->out, "\" height=\"%d\"/>\n", at[3] - at[1]);
}

/* The scan behind those with the same value. */
static uint32_t same_until(const struct lane *lane, uint32_t n, uint32_t i)
{
    uint32_t end = i + 1;

    while (end < n && lane->values[end] == lane->values[i])
        end++;
    return end;
}

/* ---- kinds of lanes ---- */

static void draw_on_off(struct picture *p, const struct lane *lane)
{
    uint32_t n = p->lanes->n_scans;
    int low = p->top + ON_OFF - 6;
    bool output = lane->group == LANE_OUTPUT;

    across(p, "base", low);
    for (uint32_t i = 0, end; i < n; i = end) {
        end = same_until(lane, n, i);
        if (lane->values[i] != 0)
            box(p, output ? "bar" : "on",
                (const int[4]){tenths_at(p, i), low - BAR,
                               tenths_at(p, end), low});
    }
}

static uint32_t level_of(const struct lane *lane, int64_t value)
{
    uint32_t k = 0;

    while (k + 1 < lane->n_levels && lane->levels[k] != value)
        k++;
    return k;
}

/* Names that the room before the lane has place for; a longer one stands at
 * the far end, above its line. */
enum { LEVEL_COLUMNS = 16 };

static void level_name(struct picture *p, int y, const char *words)
{
    if (markup_line(words, LEVEL_COLUMNS) == strlen(words))
        say(p, FROM * 10 - 60, y + 4, " class=\"small\" text-anchor=\"end\"",
            words);
    else
        say(p, TO * 10, y - 4, " class=\"small\" text-anchor=\"end\"",
            words);
}

/* The names of the levels, the largest on top. */
static int level_y(const struct picture *p, const struct lane *lane,
                   uint32_t level)
{
    return p->top + 14 + (int)(lane->n_levels - 1 - level) * LEVEL;
}

static void draw_levels(struct picture *p, const struct lane *lane)
{
    uint32_t n = p->lanes->n_scans;
    int before = -1;

    for (uint32_t k = 0; k < lane->n_levels; k++) {
        struct text name = {0};
        int y = level_y(p, lane, k);

        lane_value(&name, lane, lane->levels[k]);
        level_name(p, y, text_str(&name));
        text_release(&name);
        across(p, "level", y);
    }
    for (uint32_t i = 0, end; i < n; i = end) {
        int y = level_y(p, lane, level_of(lane, lane->values[i]));
        int x = tenths_at(p, i);

        end = same_until(lane, n, i);
        if (before >= 0)
            line(p, "step", (const int[4]){x, before, x, y});
        line(p, "step", (const int[4]){x, y, tenths_at(p, end), y});
        before = y;
    }
}

/* Place of a value between the smallest and the largest. */
static int curve_y(const struct picture *p, const struct lane *lane,
                   int64_t value)
{
    double low = (double)lane->levels[0];
    double span = (double)lane->levels[lane->n_levels - 1] - low;
    double part = ((double)value - low) / span;

    return p->top + 12 + (int)((1 - part) * (CURVE - 24) + 0.5);
}

static void draw_end_value(struct picture *p, const struct lane *lane,
                           int64_t value)
{
    struct text name = {0};
    int y = curve_y(p, lane, value);

    lane_value(&name, lane, value);
    level_name(p, y, text_str(&name));
    across(p, "level", y);
    text_release(&name);
}

static void draw_curve(struct picture *p, const struct lane *lane)
{
    uint32_t n = p->lanes->n_scans;

    draw_end_value(p, lane, lane->levels[0]);
    draw_end_value(p, lane, lane->levels[lane->n_levels - 1]);
    for (uint32_t i = 0; i < n; i++) {
        int x = tenths_at(p, i), y = curve_y(p, lane, lane->values[i]);

        if (i > 0)
            line(p, "step",
                 (const int[4]){x, curve_y(p, lane, lane->values[i - 1]), x,
                                y});
        line(p, "step", (const int[4]){x, y, tenths_at(p, i + 1), y});
    }
}

/* Many values of an enumeration keep their names. */
static bool is_curve(const struct lane *lane)
{
    return lane->n_levels > LANES_MOST_LEVELS &&
           type_base(lane->type)->kind != TYPE_ENUM;
}

static int lane_height(const struct lane *lane, int lines)
{
    int height = lane->on_off     ? ON_OFF
                 : is_curve(lane) ? CURVE
                                  : 14 + (int)lane->n_levels * LEVEL;

    return height < lines * LINE + 6 ? lines * LINE + 6 : height;
}

bool timing_mark_in(const struct timing_mark *mark, const char *lane)
{
    return lane == NULL ? mark->lane == NULL
                        : mark->lane != NULL &&
                              strcmp(mark->lane, lane) == 0;
}

/* A small filled disc with the number in white. */
static void draw_mark(struct picture *p, int x, int y, uint32_t number)
{
    struct text words = {0};

    text_add(p->out, "<circle class=\"mark\" cx=\"");
    add_tenths(p->out, x);
    text_printf(p->out, "\" cy=\"%d\" r=\"9\"/>\n", y);
    text_printf(&words, "%u", number);
    say(p, x, y + 4, " class=\"number\"", text_str(&words));
    text_release(&words);
}

/* Several of one moment stand side by side; those that would touch the one
 * before stand lower. */
static void draw_marks(struct picture *p, const char *lane, int y)
{
    int free_from = INT32_MIN, low = 0;

    for (uint32_t i = 0; i < p->lanes->n_scans; i++) {
        int x = tenths_at(p, i);

        for (uint32_t m = 0; m < p->timing->n_marks; m++) {
            const struct timing_mark *mark = &p->timing->marks[m];

            if (mark->scan != p->lanes->first + i ||
                !timing_mark_in(mark, lane))
                continue;
            low = x < free_from ? 18 - low : 0;
            draw_mark(p, x, y + low, mark->number);
            free_from = x + 190;
            x += 210;
        }
    }
}

static void draw_lane(struct picture *p, const struct lane *lane)
{
    int lines = paragraph(p, p->top + 18, "", lane->title, NAME_LINES);

    if (lane->on_off)
        draw_on_off(p, lane);
    else if (is_curve(lane))
        draw_curve(p, lane);
    else
        draw_levels(p, lane);
    draw_marks(p, lane->name, p->top + 10);
    p->top += lane_height(lane, lines);
}

/* ---- time ---- */

/* Scans between two figures where no times are round: as room allows. */
static uint32_t axis_rough(const struct picture *p)
{
    uint32_t n = p->lanes->n_scans, step = 1;
    int least = INT_MAX;

    for (uint32_t i = 0; i < n; i++)
        if (tenths_at(p, i + 1) - tenths_at(p, i) < least)
            least = tenths_at(p, i + 1) - tenths_at(p, i);
    while (step < n && (int64_t)least * step < 600)
        step++;
    return step;
}

/* Scans between two figures of the axis: of a round time, and with room. */
static uint32_t axis_step(const struct picture *p)
{
    static const int64_t round[] = {1, 2, 5};
    int64_t scan = p->lanes->longest;

    if (!is_even(p->lanes))
        return axis_rough(p);
    for (int64_t power = 10;; power *= 10)
        for (int k = 0; k < 3; k++) {
            int64_t step = round[k] * power;

            if (step % scan == 0 &&
                tenths_at(p, 1) - tenths_at(p, 0) > 0 &&
                (int64_t)(tenths_at(p, 1) - tenths_at(p, 0)) * step / scan >=
                    500)
                return (uint32_t)(step / scan);
            if (step > INT32_MAX || step / scan > LANES_MOST_SCANS)
                return p->lanes->n_scans;
        }
}

static void draw_axis(struct picture *p, int y, int bottom)
{
    uint32_t step = axis_step(p), first = p->lanes->first;

    for (uint32_t i = 0; i < p->lanes->n_scans; i++) {
        struct text time = {0};
        int x = tenths_at(p, i);

        if ((first + i) % step != 0) {
            line(p, "tick", (const int[4]){x, y + 4, x, y + 8});
            continue;
        }
        amount_seconds(&time, p->lanes->times[i]);
        say(p, x, y, " class=\"small\" text-anchor=\"middle\"",
            text_str(&time));
        text_release(&time);
        line(p, "grid", (const int[4]){x, y + 4, x, bottom});
    }
}

static int end_at(const struct picture *p)
{
    uint32_t n = p->lanes->n_scans;

    return tenths_at(p, n > 0 ? n - 1 : 0);
}

static void draw_end(struct picture *p)
{
    uint32_t n = p->lanes->n_scans;
    struct text words_of_end = {0};
    int x = end_at(p);

    amount_seconds(&words_of_end, n > 0 ? p->lanes->times[n - 1] : 0);
    text_printf(&words_of_end, ": %s", p->timing->at_end);
    p->top += LINE + 4;
    say(p, x, p->top, x > (FROM + TO) * 5 ? " text-anchor=\"end\""
                                          : "", text_str(&words_of_end));
    text_release(&words_of_end);
}

/* ---- the whole ---- */

static void draw_lanes(struct picture *p)
{
    for (uint32_t i = 0; i < p->lanes->n; i++) {
        const struct lane *lane = &p->lanes->at[i];

        if (i == 0 || lane->group != lane[-1].group) {
            p->top += i == 0 ? 0 : 6;
            line(p, "rule", (const int[4]){MARGIN * 10, p->top,
                                           (WIDTH - MARGIN) * 10, p->top});
            say(p, MARGIN * 10, p->top + 15, " class=\"group\"",
                lane_heading(lane->group));
            p->top += HEADING - 6;
        }
        draw_lane(p, lane);
    }
    line(p, "rule", (const int[4]){MARGIN * 10, p->top + 4,
                                   (WIDTH - MARGIN) * 10, p->top + 4});
    p->top += 4;
}

static void draw_notes(struct picture *p)
{
    struct text note = {0};

    text_add(&note, "A scan takes ");
    amount_span(&note, p->lanes->shortest, p->lanes->longest);
    text_add(&note, "; each value is drawn from the judging at which it was "
                    "seen to the next one.");
    if (p->timing->n_marks > 0)
        text_add(&note, " The numbers are those of the steps that `keepclear "
                        "why` tells.");
    if (p->lanes->first > 0)
        text_printf(&note, " The first %u scans are left out.",
                    p->lanes->first);
    if (*p->lanes->never_on != '\0')
        text_printf(&note, " Off all the time: %s.", p->lanes->never_on);
    p->top += LINE + 8;
    p->top += paragraph(p, p->top, " class=\"note\"", text_str(&note), 14) *
              LINE;
    text_release(&note);
}

static const char style[] =
    "<style>\n"
    "text { font-family: 'DejaVu Sans', Verdana, Arial, sans-serif; "
    "font-size: 13px; fill: #000; }\n"
    ".title { font-size: 15px; font-weight: bold; }\n"
    ".small { font-size: 11px; }\n"
    ".note { font-size: 12px; fill: #333; }\n"
    ".group { font-size: 11px; fill: #555; letter-spacing: 1px; }\n"
    ".number { font-size: 11px; fill: #fff; text-anchor: middle; "
    "font-weight: bold; }\n"
    "line { stroke: #000; stroke-width: 1; }\n"
    ".rule, .base, .tick { stroke: #999; }\n"
    ".grid { stroke: #ccc; }\n"
    ".level { stroke: #ddd; }\n"
    ".step { stroke-width: 2.2; stroke-linecap: square; }\n"
    ".end { stroke-dasharray: 5 4; stroke-width: 1.4; }\n"
    ".on { fill: #d4d4d4; stroke: #000; stroke-width: 1.2; }\n"
    ".bar { fill: #333; }\n"
    ".mark { fill: #000; stroke: #fff; }\n"
    "</style>\n";

static void frame(struct text *out, const struct picture *p,
                  const struct text *inside)
{
    text_printf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                     "width=\"190mm\" height=\"%d.%dmm\" "
                     "viewBox=\"0 0 %d %d\">\n<title>",
                p->height / 4, p->height % 4 * 10 / 4, WIDTH, p->height);
    markup_add(out, p->timing->title, strlen(p->timing->title));
    text_printf(out, "</title>\n%s<rect width=\"%d\" height=\"%d\" "
                     "fill=\"#fff\"/>\n", style, WIDTH, p->height);
    text_add_bytes(out, text_str(inside), inside->n);
    text_add(out, "</svg>\n");
}

/* Grid and end lie under the lanes, whose height is known only when they are
 * drawn: so they are drawn aside first. */
void timing_svg(struct text *out, const struct timing *timing)
{
    struct text head = {0}, lanes = {0};
    struct picture p = {.out = &head, .timing = timing,
                        .lanes = timing->lanes};
    int axis;

    p.top = 24;
    p.top += paragraph(&p, p.top, " class=\"title\"", timing->title, 3) *
             LINE + 4;
    say(&p, MARGIN * 10, p.top, "", timing->what);
    axis = p.top + 30;
    p.top = axis + 12;
    p.out = &lanes;
    draw_lanes(&p);
    draw_marks(&p, NULL, axis + 10);
    p.out = &head;
    draw_axis(&p, axis, p.top);
    line(&p, "end", (const int[4]){end_at(&p), axis + 4, end_at(&p),
                                   p.top + 4});
    text_add_bytes(&head, text_str(&lanes), lanes.n);
    draw_end(&p);
    draw_notes(&p);
    p.height = p.top;
    frame(out, &p, &head);
    text_release(&head);
    text_release(&lanes);
}
