/* testsheetwords.h - the test sheet as a page of text, as a table to be
 * filled in, and as scenarios that can be played. */
#ifndef KEEPCLEAR_PRESENT_TESTSHEETWORDS_H
#define KEEPCLEAR_PRESENT_TESTSHEETWORDS_H

struct sheetform;
struct sources;
struct testsheet;
struct text;

/* The sheet, to be printed. */
void testsheetwords_add(const struct sheetform *form,
                        const struct testsheet *sheet,
                        const struct sources *sources);

/* A line for each step (RFC 4180); the last columns are filled in by
 * people. */
void testsheetwords_csv(struct text *out, const struct testsheet *sheet,
                        const struct sources *sources);

/* A SCENARIO for each sequence, as it was played, to be pasted into the
 * review text. */
void testsheetwords_scenarios(struct text *out,
                              const struct testsheet *sheet);

#endif
