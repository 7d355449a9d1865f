/* delimited.h - lines of values with a separator between them, as recorders
 * and spreadsheets write them (RFC 4180; semicolons and tabs too). */
#ifndef KEEPCLEAR_SOURCE_DELIMITED_H
#define KEEPCLEAR_SOURCE_DELIMITED_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The separator that a heading uses: a semicolon or a tab where there is
 * one, else a comma. */
char delimited_separator(const char *heading);

/* Cuts a line, which is changed, into fields without the blanks around them
 * and without quotes; a quote within quotes is written twice.  At most `most`
 * of them are noted, *n gets how many there are.  False: a quote is not
 * closed in this line, or something stands behind one. */
bool delimited_cut(char *line, char separator, char **fields, uint32_t most,
                   uint32_t *n);

#endif
