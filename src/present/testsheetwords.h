/* testsheetwords.h - the test sheet as a page of text or paper, as a table to
 * be filled in, and as scenarios that can be played. */
#ifndef KEEPCLEAR_PRESENT_TESTSHEETWORDS_H
#define KEEPCLEAR_PRESENT_TESTSHEETWORDS_H

#include <stdbool.h>

struct byhand_view;
struct text;

/* The sheet, to be printed; paper: as HTML. */
void testsheetwords_add(struct text *out, const struct byhand_view *view,
                        bool paper);

/* A line for each step (RFC 4180); the last columns are filled in by
 * people.  Headings are the same in every language. */
void testsheetwords_csv(struct text *out, const struct byhand_view *view);

/* A SCENARIO for each sequence, as it was played, to be pasted into the
 * review text. */
void testsheetwords_scenarios(struct text *out,
                              const struct byhand_view *view);

#endif
