#include "present/wordtable.h"

#include <stdbool.h>
#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/text.h"
#include "present/json.h"
#include "present/keyed.h"

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
static size_t find(const struct wordtable *table, const char *key)
{
    size_t i = 0;

    while (i < table->n && strcmp(table->rows[i].key, key) != 0)
        i++;
    return i;
}

const char *wordtable_of(const struct words *words, const char *key)
{
    size_t row = find(words->table, key);

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

static const char *take_line(struct arena *arena, void *context, char *key,
                             const char *said)
{
    struct words *words = context;
    const struct wordtable *table = words->table;
    size_t row = find(table, key);

    if (row == table->n)
        return arena_printf(arena, "there is no key '%s'; `keepclear %s "
                            "--as words FILE` lists them", key, table->verb);
    if (gaps(said) != gaps(table->rows[row].en))
        return arena_printf(arena, "'%s' needs {} as often as in '%s'",
                            table->rows[row].key, table->rows[row].en);
    words->at[row] = said;
    return NULL;
}

const char *wordtable_read(struct arena *arena, struct words *words,
                           const char *text, size_t n)
{
    const struct keyed_reader reader = {"words", "key = words", take_line,
                                        words};

    return keyed_read(arena, &reader, text, n);
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
