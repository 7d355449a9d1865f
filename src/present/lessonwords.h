/* lessonwords.h - the words of the trainer's page in one table, which a user
 * can replace: the page itself and its script read nothing else.
 */
#ifndef KEEPCLEAR_PRESENT_LESSONWORDS_H
#define KEEPCLEAR_PRESENT_LESSONWORDS_H

struct text;
struct words;
struct wordtable;

const struct wordtable *lessonwords_table(void);

/* The words of a key, which must be one of the table. */
const char *lessonwords_of(const struct words *words, const char *key);

/* The same, with what is given in the places of {}; second: NULL where there
 * is one place only. */
void lessonwords_put(struct text *out, const struct words *words,
                     const char *key, const char *first, const char *second);

#endif
