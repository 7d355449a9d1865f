/* parse.h - text to syntax tree. */
#ifndef KEEPCLEAR_LANG_PARSE_H
#define KEEPCLEAR_LANG_PARSE_H

#include <stdbool.h>
#include <stdint.h>

#include "lang/context.h"

struct tree_run;

/* Parses the text number `file` and adds what it holds to run.  Mistakes go
 * to diags; the parser recovers at `;` and at END_ words and goes on, so
 * several independent mistakes are reported in one go.  In control text no
 * word of ours is reserved; in review text they are, and a variable with
 * such a name is written with its program: Main.only.  False when the text
 * has an error. */
bool parse_text(const struct parse_context *context, uint32_t file,
                enum parse_kind kind, struct tree_run *run);

#endif
