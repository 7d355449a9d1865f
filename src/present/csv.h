/* csv.h - cells of comma-separated values (RFC 4180). */
#ifndef KEEPCLEAR_PRESENT_CSV_H
#define KEEPCLEAR_PRESENT_CSV_H

struct text;

/* A cell in double quotes, those within it doubled. */
void csv_quoted(struct text *out, const char *string);

#endif
