#include "source/render.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"
#include "base/vec.h"
#include "source/diag.h"
#include "source/source.h"

enum {
    TAB_WIDTH = 8,
    WIDEST = 120, /* columns of a line that are shown */
    BEFORE = 40   /* columns before the place when a line is cut */
};

/* Columns [left, right) of a line, counted from 0. */
struct window {
    size_t left, right;
};

/* What one character looks like on the terminal: a control character or a
 * stray byte must not reach it. */
static void add_shown(struct text *out, const char *bytes,
                      struct utf8_char c)
{
    if (!c.valid || c.code < 0x20 || (c.code >= 0x7f && c.code < 0xa0))
        text_add_char(out, '?');
    else
        text_add_bytes(out, bytes, c.bytes);
}

/* Walks along a line, adding what lies in the window to out (NULL: only
 * measuring); gives back the columns of the n bytes. */
static size_t walk(struct text *out, const char *line, size_t n,
                   struct window window)
{
    size_t column = 0;

    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(line + i, n - i);
        size_t width =
            c.code == '\t' ? TAB_WIDTH - column % TAB_WIDTH : c.columns;
        size_t from = column > window.left ? column : window.left;
        size_t end = column + width;
        size_t to = end < window.right ? end : window.right;
        bool inside = column >= window.left && end <= window.right;

        if (out && c.code != '\t' && inside)
            add_shown(out, line + i, c);
        else if (out && to > from)
            text_pad(out, ' ', to - from); /* a tab, or half a character */
        column = end;
        i += c.bytes;
    }
    return column;
}

static size_t measure(const char *line, size_t n)
{
    return walk(NULL, line, n, (struct window){0, 0});
}

static struct window window_for(size_t all, size_t place)
{
    struct window whole = {0, all};
    size_t left = place > BEFORE ? place - BEFORE : 0;

    if (all <= WIDEST)
        return whole;
    return (struct window){left, left + WIDEST};
}

static void add_underline(struct text *out, size_t indent, size_t width)
{
    text_add(out, "      | ");
    text_pad(out, ' ', indent);
    text_add_char(out, '^');
    if (width > 1)
        text_pad(out, '~', width - 1);
    text_add_char(out, '\n');
}

/* Columns of the span on its first line. */
static size_t width_on(const char *line, size_t n, size_t first,
                       size_t length)
{
    size_t end = length < n - first ? first + length : n;

    return measure(line, end) - measure(line, first);
}

static void add_excerpt(struct text *out, const struct sources *sources,
                        struct span span)
{
    struct place place = sources_place(sources, span);
    size_t all, n, column = place.column - 1;
    const char *text = sources_text(sources, span.file, &all);
    const char *line = sources_line(sources, span.file, place.line, &n);
    size_t from = span.from < all ? span.from : all;
    size_t first = from - (size_t)(line - text);
    size_t length = span.to > from ? span.to - from : 0;
    struct window window = window_for(measure(line, n), column);
    const char *cut = window.left ? "..." : "";
    size_t width;

    if (first > n)
        first = n; /* the place is the line end itself */
    width = width_on(line, n, first, length);
    if (width > window.right - column)
        width = window.right - column;
    text_printf(out, "%5u | %s", (unsigned)place.line, cut);
    walk(out, line, n, window);
    text_add(out, measure(line, n) > window.right ? "...\n" : "\n");
    add_underline(out, column - window.left + (window.left ? 3 : 0), width);
}

static void add_place(struct text *out, const struct sources *sources,
                      struct span span)
{
    struct place place = sources_place(sources, span);

    if (place.line)
        text_printf(out, "%s:%u:%u: ", place.path, (unsigned)place.line,
                    (unsigned)place.column);
}

static const char *word_of(enum severity severity)
{
    switch (severity) {
    case DIAG_ERROR: return "error";
    case DIAG_WARNING: return "warning";
    case DIAG_NOTE: break;
    }
    return "note";
}

static void add_head(struct text *out, const struct sources *sources,
                     struct span span, const char *word, const char *what)
{
    add_place(out, sources, span);
    text_printf(out, "%s: %s\n", word, what);
    if (span.file)
        add_excerpt(out, sources, span);
}

/* A made text has a cause, which is told too. */
static void add_cause(struct text *out, const struct sources *sources,
                      struct span span)
{
    struct span cause = sources_cause(sources, span.file);

    if (cause.file)
        add_head(out, sources, cause, "note", "it is used here");
}

void render_diag(struct text *out, const struct sources *sources,
                 const struct diag *diag)
{
    struct span span = sources_origin(sources, diag->span);

    add_head(out, sources, span, word_of(diag->severity), diag->message);
    add_cause(out, sources, span);
    if (diag->also_message)
        add_head(out, sources, sources_origin(sources, diag->also), "note",
                 diag->also_message);
    if (diag->hint)
        text_printf(out, "   what to do: %s\n", diag->hint);
}

struct entry {
    const struct diag *diag;
    struct span span; /* where it is shown */
    size_t number; /* keeps records of one place in their order */
};

static int compare(uint64_t a, uint64_t b)
{
    return (a > b) - (a < b);
}

static int by_place(const void *left, const void *right)
{
    const struct entry *a = left, *b = right;
    int order = compare(a->span.file, b->span.file);

    if (!order)
        order = compare(a->span.from, b->span.from);
    return order ? order : compare(a->number, b->number);
}

/* Words that were put in at several places are told of once. */
static bool is_known(const struct entry *entries, size_t index)
{
    const struct entry *entry = &entries[index];

    for (size_t i = index; i-- > 0;) {
        if (entries[i].span.file != entry->span.file ||
            entries[i].span.from != entry->span.from)
            return false;
        if (entries[i].span.to == entry->span.to &&
            entries[i].diag->severity == entry->diag->severity &&
            strcmp(entries[i].diag->message, entry->diag->message) == 0)
            return true;
    }
    return false;
}

void render_diags(struct text *out, const struct sources *sources,
                  const struct diags *diags)
{
    VEC(struct entry) entries = {0};
    size_t left_out = diags_errors(diags);

    for (size_t i = 0; i < diags_count(diags); i++) {
        struct entry entry = {.diag = diags_at(diags, i), .number = i};

        entry.span = sources_origin(sources, entry.diag->span);
        left_out -= entry.diag->severity == DIAG_ERROR;
        vec_push(&entries, entry);
    }
    if (entries.n)
        qsort(entries.at, entries.n, sizeof *entries.at, by_place);
    for (size_t i = 0; i < entries.n; i++)
        if (!is_known(entries.at, i))
            render_diag(out, sources, entries.at[i].diag);
    if (left_out)
        text_printf(out, "%zu more error%s left out\n", left_out,
                    left_out == 1 ? " is" : "s are");
    vec_release(&entries);
}
