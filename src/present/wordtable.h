/* wordtable.h - words of a page in one table, in English and German, which a
 * user can replace.
 *
 * `{}` in a word stands for what is put in there, in the order of the table.
 */
#ifndef KEEPCLEAR_PRESENT_WORDTABLE_H
#define KEEPCLEAR_PRESENT_WORDTABLE_H

#include <stddef.h>

struct arena;
struct text;
struct words;

struct wordrow {
    const char *key, *en, *de;
};

struct wordtable {
    const struct wordrow *rows;
    size_t n;
    const char *verb; /* of the command that lists them: "lesson" */
};

/* The shipped words of "en" or "de"; NULL for another language.  Lies in the
 * arena. */
struct words *wordtable_language(struct arena *arena,
                                 const struct wordtable *table,
                                 const char *language);

/* Takes over lines `key = words` of a user's table; a line that is blank or
 * begins with # is none.  NULL, or a sentence with what is wrong and what to
 * do; it lies in the arena. */
const char *wordtable_read(struct arena *arena, struct words *words,
                           const char *text, size_t n);

/* The words of a key, which must be one of the table. */
const char *wordtable_of(const struct words *words, const char *key);

/* The same, with what is given in the places of {}; given: as many as there
 * are places, or NULL behind the last one. */
void wordtable_put(struct text *out, const struct words *words,
                   const char *key, const char *const *given);

/* The table as an object of JSON, and as the lines that wordtable_read
 * takes. */
void wordtable_data(struct text *out, const struct words *words);
void wordtable_lines(struct text *out, const struct words *words);

#endif
