#include "present/wordtable.h"

#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/text.h"
#include "present/json.h"

struct words {
    const struct wordtable *table;
    const char **at; /* per row */
};

struct words *wordtable_language(struct arena *arena,
                                 const struct wordtable *table,
                                 const char *language)
{
    bool german = strcmp(language, "de") == 0;
    struct words *words;

    if (!german && strcmp(language, "en") != 0)
        return NULL;
    words = ARENA_NEW(arena, struct words);
    words->table = table;
    words->at = arena_array(arena, table->n, sizeof *words->at);
    for (size_t i = 0; i < table->n; i++)
        words->at[i] = german ? table->rows[i].de : table->rows[i].en;
    return words;
}

/* table->n: there is none. */
static size_t find(const struct wordtable *table, const char *key, size_t n)
{
    size_t i = 0;

    while (i < table->n && (strlen(table->rows[i].key) != n ||
                            memcmp(table->rows[i].key, key, n) != 0))
        i++;
    return i;
}

const char *wordtable_of(const struct words *words, const char *key)
{
    size_t row = find(words->table, key, strlen(key));

    ENSURE(row < words->table->n);
    return words->at[row];
}

void wordtable_put(struct text *out, const struct words *words,
                   const char *key, const char *const *given)
{
    const char *at = wordtable_of(words, key), *gap;

    for (; (gap = strstr(at, "{}")) != NULL; at = gap + 2) {
        text_add_bytes(out, at, (size_t)(gap - at));
        if (*given != NULL)
            text_add(out, *given++);
    }
    text_add(out, at);
}

/* ---- a user's table ---- */

static int gaps(const char *words)
{
    int n = 0;

    for (; (words = strstr(words, "{}")) != NULL; words += 2)
        n++;
    return n;
}

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

static const char *read_line(struct arena *arena, struct words *words,
                             const char *line, size_t n)
{
    const struct wordtable *table = words->table;
    const char *equals = memchr(line, '=', n), *key = line, *said;
    size_t n_key, n_said, row;

    if (equals == NULL)
        return "write `key = words`, or # before a remark";
    n_key = trimmed(&key, (size_t)(equals - line));
    said = equals + 1;
    n_said = trimmed(&said, n - (size_t)(equals - line) - 1);
    row = find(table, key, n_key);
    if (row == table->n)
        return arena_printf(arena, "there is no key '%.*s'; `keepclear %s "
                            "--as words FILE` lists them", (int)n_key, key,
                            table->verb);
    said = arena_copy(arena, said, n_said);
    if (gaps(said) != gaps(table->rows[row].en))
        return arena_printf(arena, "'%s' needs {} as often as in '%s'",
                            table->rows[row].key, table->rows[row].en);
    words->at[row] = said;
    return NULL;
}

const char *wordtable_read(struct arena *arena, struct words *words,
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
            wrong = read_line(arena, words, line, length);
        if (wrong != NULL)
            return arena_printf(arena, "line %u of the words: %s", number,
                                wrong);
    }
    return NULL;
}

void wordtable_data(struct text *out, const struct words *words)
{
    for (size_t i = 0; i < words->table->n; i++) {
        text_printf(out, "%s\"%s\":", i == 0 ? "{" : ",\n",
                    words->table->rows[i].key);
        json_string(out, words->at[i]);
    }
    text_add(out, "}");
}

void wordtable_lines(struct text *out, const struct words *words)
{
    for (size_t i = 0; i < words->table->n; i++)
        text_printf(out, "%s = %s\n", words->table->rows[i].key,
                    words->at[i]);
}
