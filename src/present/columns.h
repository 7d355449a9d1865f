/* columns.h - tables of text whose cells are broken into lines. */
#ifndef KEEPCLEAR_PRESENT_COLUMNS_H
#define KEEPCLEAR_PRESENT_COLUMNS_H

#include <stdint.h>

struct text;

/* One row: cell i is broken at blanks into lines of at most width[i] columns
 * (a longer word stands over its width, alone on its line); two blanks
 * between cells; blanks at the end of a line are left away. */
void columns_row(struct text *out, const char *const *cells,
                 const unsigned *width, uint32_t n);

/* A line of '-' as wide as the table. */
void columns_rule(struct text *out, const unsigned *width, uint32_t n);

#endif
