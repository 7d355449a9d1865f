/* lessonwords.h - the words of the trainer's page in one table, which a user
 * can replace: the page itself and its script read nothing else.
 *
 * `{}` in a word stands for what is put in there.
 */
#ifndef KEEPCLEAR_PRESENT_LESSONWORDS_H
#define KEEPCLEAR_PRESENT_LESSONWORDS_H

#include <stddef.h>

struct arena;
struct text;
struct lesson_words;

/* The shipped words of "en" or "de"; NULL for another language. */
struct lesson_words *lessonwords_language(struct arena *arena,
                                          const char *language);

/* Takes over lines `key = words` of a user's table; a line that is blank or
 * begins with # is none.  NULL, or a sentence with what is wrong and what to
 * do; it lies in the arena. */
const char *lessonwords_read(struct arena *arena, struct lesson_words *words,
                             const char *text, size_t n);

/* The words of a key, which must be one of the table. */
const char *lessonwords_of(const struct lesson_words *words, const char *key);

/* The same, with what is given in the places of {}; second: NULL where there
 * is one place only. */
void lessonwords_put(struct text *out, const struct lesson_words *words,
                     const char *key, const char *first, const char *second);

/* The table as an object of JSON, and as the lines that lessonwords_read
 * takes. */
void lessonwords_data(struct text *out, const struct lesson_words *words);
void lessonwords_lines(struct text *out, const struct lesson_words *words);

#endif
