#include "study/tested.h"

#include <string.h>

#include "base/arena.h"
#include "base/digest.h"
#include "base/os.h"
#include "base/text.h"
#include "base/vec.h"
#include "check/model.h"
#include "source/delimited.h"
#include "source/source.h"

enum { LARGEST = 16 << 20, MOST_FIELDS = 64 };

static const char *const headings[TESTED_COLUMNS] = {
    "round", "sequence", "step", "machine stands", "station", "do", "wait",
    "must be", "for", "as expected", "not", "not possible here", "remark"};

static const char *const lines[TESTED_LINES] = {
    "test sheet", "fingerprint of the texts", "fingerprint of the steps",
    "date of the test", "tested by"};

const char *tested_heading(enum tested_column column)
{
    return headings[column];
}

const char *tested_words(enum tested_line line)
{
    return lines[line];
}

void tested_digest(struct text *out, const struct sources *sources)
{
    struct text all = {0};

    for (uint32_t f = 1; f <= sources_count(sources); f++) {
        size_t n;
        const char *bytes = sources_text(sources, f, &n);

        if (sources_cause(sources, f).file != 0)
            continue; /* made out of another one */
        text_printf(&all, "%zu:", n);
        text_add_bytes(&all, bytes, n);
    }
    digest_add(out, text_str(&all), all.n);
    text_release(&all);
}

/* Blanks around a cell are lost in a table of a spreadsheet. */
void tested_add_cell(struct text *steps, const char *cell)
{
    size_t n;

    cell += strspn(cell, " \t");
    n = strlen(cell);
    while (n > 0 && (cell[n - 1] == ' ' || cell[n - 1] == '\t'))
        n--;
    text_printf(steps, "%zu:", n);
    text_add_bytes(steps, cell, n);
}

/* ---- reading ---- */

struct reading {
    struct arena *arena;
    const struct model *model;
    const struct sources *sources;
    const char *path;
    struct tested *tested;
    struct tested_requirement *requirements;
    VEC(struct tested_wrong) wrong;
    char *at, *end;      /* what is left of the file */
    uint32_t line;
    char separator;
    char *fields[MOST_FIELDS];
    uint32_t n;          /* fields of the line */
    const char *steps;   /* fingerprint that the sheet says */
    struct text printed; /* cells */
};

static bool fail(struct reading *r, const char *what)
{
    r->tested->failure = arena_printf(r->arena, "%s:%u: %s", r->path,
                                      r->line, what);
    return false;
}

static const char *field(const struct reading *r, uint32_t i)
{
    return i < r->n ? r->fields[i] : "";
}

/* The next line that is not blank; false: there is none, or `failure`. */
static bool next_line(struct reading *r)
{
    char *line;

    do {
        if (r->at >= r->end)
            return false;
        line = r->at;
        r->at += strcspn(r->at, "\n");
        if (r->at < r->end)
            *r->at++ = '\0';
        line[strcspn(line, "\r")] = '\0';
        r->line++;
    } while (line[strspn(line, " \t,;")] == '\0');
    if (r->separator == '\0')
        r->separator = delimited_separator(line);
    return delimited_cut(line, r->separator, r->fields, MOST_FIELDS, &r->n) ||
           fail(r, "a quote is not closed in this line, or something stands "
                   "behind it");
}

/* What a line before the steps says; NULL: `failure`. */
static const char *read_line(struct reading *r, enum tested_line which)
{
    if (!next_line(r) || strcmp(field(r, 0), lines[which]) != 0) {
        if (r->tested->failure == NULL)
            fail(r, arena_printf(r->arena,
                                 "this is no filled test sheet of keepclear: "
                                 "here stands '%s'; the lines of `testsheet "
                                 "--as csv` stay as they are",
                                 lines[which]));
        return NULL;
    }
    return arena_copy(r->arena, field(r, 1), strlen(field(r, 1)));
}

static bool is_of_these_texts(struct reading *r, const char *said)
{
    struct text now = {0};
    bool same;

    tested_digest(&now, r->sources);
    same = strcmp(text_str(&now), said) == 0;
    text_release(&now);
    return same || fail(r, "this sheet was made from other texts than those "
                           "that are read now: what was tested with it says "
                           "nothing about them; make a new sheet, or check "
                           "the texts that it was made from");
}

static bool read_head(struct reading *r)
{
    const char *texts;

    if (read_line(r, TESTED_SHEET) == NULL ||
        (texts = read_line(r, TESTED_TEXTS)) == NULL ||
        !is_of_these_texts(r, texts) ||
        (r->steps = read_line(r, TESTED_STEPS)) == NULL ||
        (r->tested->date = read_line(r, TESTED_DATE)) == NULL)
        return false;
    if (r->tested->date[0] == '\0')
        return fail(r, "the date of the test is not filled in");
    if ((r->tested->by = read_line(r, TESTED_BY)) == NULL)
        return false;
    if (r->tested->by[0] == '\0')
        return fail(r, "the name of who tested is not filled in");
    if (!next_line(r))
        return r->tested->failure != NULL ? false
                                          : fail(r, "here it ends: the steps "
                                                    "are missing");
    for (uint32_t i = 0; i < TESTED_COLUMNS; i++)
        if (strcmp(field(r, i), headings[i]) != 0)
            return fail(r, arena_printf(r->arena,
                                        "column %u is not '%s': the headings "
                                        "stay as they are", i + 1,
                                        headings[i]));
    return true;
}

/* Does a word of the column say the name of a requirement? */
static bool names(const char *words, const char *name)
{
    size_t n = strlen(name);

    for (; *words != '\0'; words += strspn(words, " ")) {
        size_t word = strcspn(words, " ");

        if (word == n && strncmp(words, name, n) == 0)
            return true;
        words += word;
    }
    return false;
}

static void count(const struct reading *r, struct tested_requirement *of)
{
    of->n++;
    if (field(r, TESTED_AS_EXPECTED)[0] != '\0')
        of->n_as_expected++;
    else if (field(r, TESTED_NOT)[0] != '\0')
        of->n_not++;
    else if (field(r, TESTED_NOT_POSSIBLE)[0] != '\0')
        of->n_not_possible++;
    else
        of->n_open++;
}

static const char *copy(const struct reading *r, enum tested_column column)
{
    return arena_copy(r->arena, field(r, column), strlen(field(r, column)));
}

static bool read_step(struct reading *r)
{
    struct tested_requirement all = {0};

    if ((field(r, TESTED_AS_EXPECTED)[0] != '\0') +
            (field(r, TESTED_NOT)[0] != '\0') +
            (field(r, TESTED_NOT_POSSIBLE)[0] != '\0') > 1)
        return fail(r, "more than one of 'as expected', 'not' and 'not "
                       "possible here' is marked");
    for (uint32_t i = 0; i < TESTED_PRINTED; i++)
        tested_add_cell(&r->printed, field(r, i));
    count(r, &all);
    r->tested->n++;
    r->tested->n_open += all.n_open;
    if (all.n_not > 0)
        vec_push(&r->wrong, ((struct tested_wrong){copy(r, TESTED_SEQUENCE),
                                                   copy(r, TESTED_STEP),
                                                   copy(r, TESTED_REMARK)}));
    for (uint32_t i = 0; i < r->model->n_requirements; i++)
        if (names(field(r, TESTED_FOR),
                  r->model->requirements[i].name->spelling))
            count(r, &r->requirements[i]);
    return true;
}

static bool are_these_steps(struct reading *r)
{
    struct text now = {0};
    bool same;

    digest_add(&now, text_str(&r->printed), r->printed.n);
    same = strcmp(text_str(&now), r->steps) == 0;
    text_release(&now);
    return same || fail(r, "the printed columns are not as they were printed: "
                           "a step is missing, was added or was changed");
}

static void read_all(struct reading *r)
{
    struct tested_wrong *wrong;

    if (!read_head(r))
        return;
    while (next_line(r))
        if (!read_step(r))
            return;
    if (r->tested->failure != NULL || !are_these_steps(r))
        return;
    wrong = arena_array(r->arena, r->wrong.n + 1, sizeof *wrong);
    if (r->wrong.n > 0)
        memcpy(wrong, r->wrong.at, r->wrong.n * sizeof *wrong);
    r->tested->wrong = wrong;
    r->tested->n_wrong = (uint32_t)r->wrong.n;
}

const struct tested *tested_read(struct arena *arena,
                                 const struct model *model,
                                 const struct sources *sources,
                                 const char *path)
{
    struct reading r = {.arena = arena, .model = model, .sources = sources,
                        .path = path};
    struct text bytes = {0};
    enum os_status status = os_read_file(path, LARGEST, &bytes);
    size_t mark;

    r.tested = ARENA_NEW(arena, struct tested);
    r.requirements = arena_array(arena, model->n_requirements + 1,
                                 sizeof *r.requirements);
    r.tested->requirements = r.requirements;
    if (status != OS_OK) {
        r.tested->failure = arena_printf(arena, "%s: %s", path,
                                         os_explain(status));
    } else if (strlen(text_str(&bytes)) != bytes.n) {
        r.tested->failure = arena_printf(arena, "%s: a byte of 0 stands in "
                                                "it: it is no text", path);
    } else {
        mark = strncmp(text_str(&bytes), "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
        r.at = bytes.n > 0 ? bytes.at + mark : NULL;
        r.end = bytes.n > 0 ? bytes.at + bytes.n : NULL;
        read_all(&r);
    }
    text_release(&bytes);
    text_release(&r.printed);
    vec_release(&r.wrong);
    return r.tested;
}
