#include "present/keyed.h"

#include <string.h>

#include "base/arena.h"

static size_t trimmed(const char **at, size_t n)
{
    while (n > 0 && (**at == ' ' || **at == '\t')) {
        (*at)++;
        n--;
    }
    while (n > 0 && strchr(" \t\r", (*at)[n - 1]) != NULL)
        n--;
    return n;
}

static const char *read_line(struct arena *arena,
                             const struct keyed_reader *reader,
                             const char *line, size_t n)
{
    const char *equals = memchr(line, '=', n), *key = line, *words;
    size_t n_key, n_words;

    if (equals == NULL)
        return arena_printf(arena, "write `%s`, or # before a remark",
                            reader->form);
    n_key = trimmed(&key, (size_t)(equals - line));
    words = equals + 1;
    n_words = trimmed(&words, n - (size_t)(equals - line) - 1);
    return reader->take(arena, reader->context, arena_copy(arena, key, n_key),
                        arena_copy(arena, words, n_words));
}

const char *keyed_read(struct arena *arena, const struct keyed_reader *reader,
                       const char *text, size_t n)
{
    unsigned number = 1;

    for (size_t at = 0; at < n; number++) {
        const char *end = memchr(text + at, '\n', n - at), *line = text + at;
        size_t length = end == NULL ? n - at : (size_t)(end - line);
        const char *wrong = NULL;

        at += length + 1;
        length = trimmed(&line, length);
        if (length > 0 && *line != '#')
            wrong = read_line(arena, reader, line, length);
        if (wrong != NULL)
            return arena_printf(arena, "line %u of the %s: %s", number,
                                reader->of, wrong);
    }
    return NULL;
}
