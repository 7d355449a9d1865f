#include "study/recording.h"

#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/lines.h"
#include "base/text.h"
#include "check/type.h"
#include "source/delimited.h"
#include "source/stamp.h"

enum { LONGEST_LINE = 65536, MOST_COLUMNS = 1024 };

static const int64_t DAY = 86400000;

struct reader {
    struct recording open; /* first: what others see */
    struct arena *arena;
    const struct recording_setting *setting;
    struct lines *lines;
    struct text line;
    char **fields;
    char separator;
    enum stamp_unit unit;
    int64_t days; /* that went by at midnight, without dates */
    uint64_t line_number; /* of `line` */
    bool waiting; /* the fields of the line are those of the next row */
};

static bool wrong(struct reader *r, const char *what, const char *field)
{
    r->open.failure = arena_printf(r->arena, "%s:%llu: %s%s%s%s",
                                   r->setting->path,
                                   (unsigned long long)(r->line_number +
                                                        (r->line_number == 0)),
                                   field == NULL ? "" : "'",
                                   field == NULL ? "" : field,
                                   field == NULL ? "" : "' ", what);
    return false;
}

/* The next line that is not blank, cut; false: there is none, or `failure`. */
static bool read_fields(struct reader *r, uint32_t *n)
{
    enum lines_step step;

    do {
        step = lines_next(r->lines, LONGEST_LINE, &r->line);
        if (step == LINES_END)
            return false;
        r->line_number++;
        if (step == LINES_LONG)
            return wrong(r, "this line is longer than 65,536 bytes: is it a "
                            "log with one row in a line?", NULL);
        if (step != LINES_LINE)
            return wrong(r, "the file could not be read on", NULL);
        if (strlen(text_str(&r->line)) != r->line.n)
            return wrong(r, "a byte of 0 stands here: write the log as plain "
                            "text, UTF-8", NULL);
    } while (strspn(text_str(&r->line), " \t") == r->line.n);
    if (r->line_number == 1 && strncmp(r->line.at, "\xEF\xBB\xBF", 3) == 0)
        memmove(r->line.at, r->line.at + 3, (r->line.n -= 3) + 1);
    if (r->separator == '\0')
        r->separator = delimited_separator(r->line.at);
    if (!delimited_cut(r->line.at, r->separator, r->fields, MOST_COLUMNS, n))
        return wrong(r, "a quote is not closed, or something stands behind "
                        "it: write a quote within quotes twice", NULL);
    return true;
}

/* ---- the heading ---- */

/* What --map says of a column: its name, or NULL; *used counts. */
static const char *mapped(struct reader *r, const char *heading)
{
    size_t n = strlen(heading);

    for (const char *at = r->setting->map; at != NULL && *at != '\0';) {
        size_t all = strcspn(at, ",");

        if (all > n && at[n] == '=' && strncasecmp(at, heading, n) == 0)
            return arena_copy(r->arena, at + n + 1, all - n - 1);
        at += all + (at[all] == ',');
    }
    return NULL;
}

static bool is_time(const struct reader *r, const char *heading)
{
    if (r->open.has_time)
        return false;
    return r->setting->time != NULL
               ? strcasecmp(heading, r->setting->time) == 0
               : stamp_is_heading(heading);
}

/* A column of that heading, among the first n. */
static bool is_there(const struct recorded_column *columns, uint32_t n,
                     const char *heading, size_t length)
{
    for (uint32_t i = 0; i < n; i++)
        if (strlen(columns[i].heading) == length &&
            strncasecmp(columns[i].heading, heading, length) == 0)
            return true;
    return false;
}

static bool check_map(struct reader *r)
{
    for (const char *at = r->setting->map; at != NULL && *at != '\0';) {
        size_t all = strcspn(at, ","), n = strcspn(at, "=,");

        if (n == all || !is_there(r->open.columns, r->open.n_columns, at, n))
            return wrong(r, "of --map is not COLUMN=NAME with a column of this "
                            "heading", arena_copy(r->arena, at, all));
        at += all + (at[all] == ',');
    }
    return true;
}

static bool name_column(struct reader *r, struct recorded_column *c,
                        const struct model *model,
                        const struct lowered *lowered)
{
    const char *name = mapped(r, c->heading);

    c->time = name == NULL && is_time(r, c->heading);
    r->open.has_time |= c->time;
    if (c->time) {
        r->unit = stamp_unit_of(c->heading);
        return true;
    }
    c->meaning = meaning_of(r->arena, model, lowered,
                            name == NULL ? c->heading : name);
    if (c->meaning.wrong || (c->meaning.name == NULL && name != NULL))
        return wrong(r, c->meaning.why_not, name == NULL ? c->heading : name);
    return true;
}

/* Two columns of one meaning would have to agree always: most often a
 * mistake. */
static bool note_meant(struct reader *r, uint32_t column, uint32_t *meant)
{
    const struct recorded_column *all = r->open.columns;

    for (uint32_t i = 0; i < r->open.n_meant; i++)
        if (strcmp(all[meant[i]].meaning.name, all[column].meaning.name) == 0)
            return wrong(r, "means the same as an earlier column: leave one "
                            "of them out", all[column].heading);
    meant[r->open.n_meant++] = column;
    return true;
}

static bool read_heading(struct reader *r, const struct model *model,
                         const struct lowered *lowered)
{
    struct recorded_column *columns;
    uint32_t n, *meant;

    if (!read_fields(r, &n))
        return r->open.failure == NULL
                   ? wrong(r, "there is no line: a heading with the names of "
                              "the columns must be the first", NULL) : false;
    if (n > MOST_COLUMNS)
        return wrong(r, "there are more than 1,024 columns", NULL);
    columns = arena_array(r->arena, n, sizeof *columns);
    meant = arena_array(r->arena, n, sizeof *meant);
    r->open.columns = columns;
    r->open.n_columns = n;
    r->open.meant = meant;
    for (uint32_t i = 0; i < n; i++)
        columns[i].heading =
            arena_copy(r->arena, r->fields[i], strlen(r->fields[i]));
    for (uint32_t i = 0; i < n; i++) {
        if (!name_column(r, &columns[i], model, lowered))
            return false;
        if (columns[i].meaning.name != NULL && !note_meant(r, i, meant))
            return false;
    }
    if (r->setting->time != NULL && !r->open.has_time)
        return wrong(r, "of --time is no column of this heading",
                     r->setting->time);
    if (r->open.n_meant == 0)
        return wrong(r, "no column has the name of an input, an actuator or a "
                        "variable: say what they mean by --map COLUMN=NAME",
                     NULL);
    return check_map(r);
}

struct recording *recording_open(struct arena *arena,
                                 const struct model *model,
                                 const struct lowered *lowered,
                                 const struct recording_setting *setting)
{
    struct reader *r = ARENA_NEW(arena, struct reader);
    const char *why;

    r->arena = arena;
    r->setting = setting;
    r->fields = arena_array(arena, MOST_COLUMNS, sizeof *r->fields);
    r->lines = lines_open(setting->path, &why);
    if (r->lines == NULL) {
        r->open.failure = arena_printf(arena, "cannot read '%s': %s",
                                       setting->path, why);
        return &r->open;
    }
    if (!read_heading(r, model, lowered))
        return &r->open;
    r->open.value = arena_array(arena, r->open.n_meant,
                                sizeof *r->open.value);
    r->open.given = arena_array(arena, r->open.n_meant,
                                sizeof *r->open.given);
    return &r->open;
}

void recording_close(struct recording *recording)
{
    struct reader *r = (struct reader *)recording;

    lines_close(r->lines);
    r->lines = NULL;
    text_release(&r->line);
}

/* ---- rows ---- */

/* The moment that a line says, days of a clock without dates counted on. */
static bool moment(struct reader *r, const char *field, int64_t *ms)
{
    bool day_only;

    if (!stamp_read(field, r->unit, ms, &day_only))
        return wrong(r, "is no time: seconds, milliseconds, hh:mm:ss or a "
                        "date and hh:mm:ss are read", field);
    *ms += r->days;
    if (day_only && r->open.rows > 0 && r->open.time - *ms > DAY / 2) {
        r->days += DAY;
        *ms += DAY;
    }
    return true;
}

static bool read_time(struct reader *r, const char *field)
{
    int64_t ms;

    if (!moment(r, field, &ms))
        return false;
    if (r->open.rows > 0 && ms < r->open.time)
        return wrong(r, "lies before the time of the row above: sort the "
                        "rows; where a clock was put back, cut the log there",
                     field);
    r->open.last_time = r->open.time;
    r->open.time = ms;
    return true;
}

static bool read_value(struct reader *r, uint32_t i)
{
    uint32_t column = r->open.meant[i];
    const char *field = r->fields[column];

    if (*field == '\0') {
        r->open.given[i] &= r->setting->changes;
        return true;
    }
    r->open.given[i] = true;
    if (meaning_read(&r->open.columns[column].meaning, field,
                     &r->open.value[i]))
        return true;
    return wrong(r, arena_printf(r->arena, "is no value of column '%s', of "
                                 "type %s", r->open.columns[column].heading,
                                 type_words(r->open.columns[column]
                                                .meaning.type)), field);
}

/* The fields of the next row; false: there is none, or `failure`. */
static bool read_line(struct reader *r)
{
    uint32_t n;

    if (!read_fields(r, &n))
        return false;
    return n == r->open.n_columns ||
           wrong(r, arena_printf(r->arena, "this row has %u fields, the "
                                 "heading %u", n, r->open.n_columns), NULL);
}

static bool read_values(struct reader *r)
{
    r->open.line = r->line_number;
    for (uint32_t i = 0; i < r->open.n_meant; i++)
        if (!read_value(r, i))
            return false;
    return true;
}

/* Is the line of the same moment as the row?  */
static bool is_same_moment(struct reader *r)
{
    int64_t ms = 0;

    for (uint32_t i = 0; i < r->open.n_columns; i++)
        if (r->open.columns[i].time && !moment(r, r->fields[i], &ms))
            return false;
    return ms == r->open.time;
}

/* Further lines of the same moment; false: one of them is wrong. */
static bool read_further(struct reader *r)
{
    while (read_line(r)) {
        if (!is_same_moment(r)) {
            r->waiting = true;
            return r->open.failure == NULL;
        }
        if (!read_values(r))
            return false;
    }
    return r->open.failure == NULL;
}

enum recording_step recording_next(struct recording *recording)
{
    struct reader *r = (struct reader *)recording;
    bool good = true;

    if (!r->waiting && !read_line(r))
        return r->open.failure == NULL ? RECORDING_END : RECORDING_WRONG;
    r->waiting = false;
    for (uint32_t i = 0; i < r->open.n_columns; i++)
        if (r->open.columns[i].time)
            good = good && read_time(r, r->fields[i]);
    good = good && read_values(r);
    r->open.rows++;
    if (good && r->setting->changes && r->open.has_time)
        good = read_further(r);
    return good ? RECORDING_ROW : RECORDING_WRONG;
}
