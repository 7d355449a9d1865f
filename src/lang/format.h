/* format.h - the layout of a text, for the verb `format`. */
#ifndef KEEPCLEAR_LANG_FORMAT_H
#define KEEPCLEAR_LANG_FORMAT_H

#include "lang/parse.h"

struct text;

/* Appends the text number `file` to out with even layout: two spaces for
 * each block a line stands in, one more level for a line that goes on with
 * what the line before began, one space around := and operators, keywords in
 * capitals, no blanks at line ends, at most one empty line in a row.  Lines
 * stay lines, and every token and comment stays what and where it is; the
 * line end (LF or CR LF) of the first line is used for all.  Formatting what
 * was formatted changes nothing.  False, and nothing appended, when the text
 * has an error, which is then in the context's diags. */
bool format_text(const struct parse_context *context, uint32_t file,
                 enum parse_kind kind, struct text *out);

#endif
