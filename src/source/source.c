#include "source/source.h"

#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/text.h"
#include "base/utf8.h"
#include "base/vec.h"
#include "source/recode.h"

enum { TAB_WIDTH = 8 };

struct source {
    const char *path;
    const char *bytes;
    size_t n;
    const uint32_t *starts; /* where each line begins */
    uint32_t lines;         /* at least 1 */
    enum source_form form;
};

struct sources {
    struct arena *arena;
    VEC(struct source) all;
};

struct sources *sources_new(struct arena *arena)
{
    struct sources *sources = calloc(1, sizeof *sources);

    if (!sources)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    sources->arena = arena;
    return sources;
}

void sources_free(struct sources *sources)
{
    if (!sources)
        return;
    vec_release(&sources->all);
    free(sources);
}

static void find_lines(struct arena *arena, struct source *source)
{
    uint32_t *starts;

    source->lines = 1;
    for (size_t i = 0; i < source->n; i++)
        source->lines += source->bytes[i] == '\n';
    starts = arena_array(arena, source->lines, sizeof *starts);
    for (uint32_t i = 0, line = 1; i < source->n; i++)
        if (source->bytes[i] == '\n')
            starts[line++] = i + 1;
    source->starts = starts;
}

/* What the bytes are; those that are not UTF-8 become so in `recoded`. */
static enum source_form recode(const char *bytes, size_t n,
                               struct text *recoded)
{
    if (recode_is_utf16(bytes, n) && recode_utf16(bytes, n, recoded))
        return SOURCE_UTF16;
    return !recode_is_utf8(bytes, n) && recode_windows(bytes, n, recoded)
               ? SOURCE_WINDOWS : SOURCE_UTF8;
}

uint32_t sources_add(struct sources *sources, const char *path,
                     const char *bytes, size_t n)
{
    struct source source = {0};
    struct text recoded = {0};

    if (n >= 3 && !memcmp(bytes, "\xef\xbb\xbf", 3)) {
        bytes += 3;
        n -= 3;
    }
    source.form = recode(bytes, n, &recoded);
    if (source.form != SOURCE_UTF8) {
        bytes = text_str(&recoded);
        n = recoded.n;
    }
    ENSURE(n < UINT32_MAX && sources->all.n < UINT32_MAX);
    source.path = arena_copy(sources->arena, path, strlen(path));
    source.bytes = arena_copy(sources->arena, bytes, n);
    source.n = n;
    text_release(&recoded);
    find_lines(sources->arena, &source);
    vec_push(&sources->all, source);
    return (uint32_t)sources->all.n;
}

uint32_t sources_count(const struct sources *sources)
{
    return (uint32_t)sources->all.n;
}

static const struct source *get(const struct sources *sources,
                                uint32_t file)
{
    ENSURE(file >= 1 && file <= sources->all.n);
    return &sources->all.at[file - 1];
}

const char *sources_path(const struct sources *sources, uint32_t file)
{
    return get(sources, file)->path;
}

enum source_form sources_form(const struct sources *sources, uint32_t file)
{
    return get(sources, file)->form;
}

const char *sources_text(const struct sources *sources, uint32_t file,
                         size_t *n)
{
    const struct source *source = get(sources, file);

    *n = source->n;
    return source->bytes;
}

/* The last line that begins at or before this byte, counted from 0. */
static uint32_t line_of(const struct source *source, size_t at)
{
    uint32_t low = 0, high = source->lines;

    while (high - low > 1) {
        uint32_t middle = low + (high - low) / 2;

        if (source->starts[middle] <= at)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Columns that bytes at the beginning of a line take. */
static size_t columns_before(const char *bytes, size_t n)
{
    size_t columns = 0;

    for (size_t i = 0; i < n;) {
        struct utf8_char next = utf8_next(bytes + i, n - i);

        if (next.code == '\t')
            columns += TAB_WIDTH - columns % TAB_WIDTH;
        else
            columns += next.columns;
        i += next.bytes;
    }
    return columns;
}

struct place sources_place(const struct sources *sources, struct span span)
{
    const struct source *source;
    struct place place = {"", 0, 0};
    size_t at, start;
    uint32_t line;

    if (span.file == 0)
        return place;
    source = get(sources, span.file);
    at = span.from < source->n ? span.from : source->n;
    line = line_of(source, at);
    start = source->starts[line];
    place.path = source->path;
    place.line = line + 1;
    place.column =
        (uint32_t)columns_before(source->bytes + start, at - start) + 1;
    return place;
}

const char *sources_line(const struct sources *sources, uint32_t file,
                         uint32_t line, size_t *n)
{
    const struct source *source = get(sources, file);
    size_t start, end;

    *n = 0;
    if (line == 0 || line > source->lines)
        return "";
    start = source->starts[line - 1];
    end = line < source->lines ? source->starts[line] - 1 : source->n;
    if (line < source->lines && end > start &&
        source->bytes[end - 1] == '\r')
        end--;
    *n = end - start;
    return source->bytes + start;
}

struct span span_join(struct span a, struct span b)
{
    if (a.file == 0)
        return b;
    if (b.file != a.file)
        return a; /* no place, or another text: no range holds both */
    a.from = a.from < b.from ? a.from : b.from;
    a.to = a.to > b.to ? a.to : b.to;
    return a;
}
