/* sheetphrases.h - the words of the test sheet in one table, which a user can
 * replace: sheet, page and cells of the CSV read nothing else.  Headings of
 * the CSV are no words but names (study/tested.h): they are the same in every
 * language, so that a filled one is read whatever its language is.
 */
#ifndef KEEPCLEAR_PRESENT_SHEETPHRASES_H
#define KEEPCLEAR_PRESENT_SHEETPHRASES_H

#include <stdint.h>

struct text;
struct words;
struct wordtable;

const struct wordtable *sheetphrases_table(void);

/* The words of a key with up to two strings in the places of {}; NULL: there
 * is none. */
void sheetphrases_put(struct text *out, const struct words *words,
                      const char *key, const char *first, const char *second);

/* The same with a number in the only place. */
void sheetphrases_number(struct text *out, const struct words *words,
                         const char *key, uint32_t number);

/* Thousandths of a second in seconds with one digit behind the point: "0.2".
 */
void sheetphrases_seconds(struct text *out, const struct words *words,
                          uint32_t ms);

#endif
