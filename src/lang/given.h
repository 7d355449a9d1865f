/* given.h - what a USE hands over, held against the parameters. */
#ifndef KEEPCLEAR_LANG_GIVEN_H
#define KEEPCLEAR_LANG_GIVEN_H

#include <stdbool.h>

#include "lang/context.h"
#include "lang/review.h"

/* Finds for each parameter what it was given (use->by_parameter) and notes
 * the template.  False when something is missing, unknown, given twice or
 * cannot be of its kind; then it was reported. */
bool given_match(const struct parse_context *context, struct tree_use *use,
                 const struct tree_template *template);

/* A name as it is written there, in its own capitals. */
const char *given_spelling(const struct parse_context *context,
                           const struct tree_ident *ident);

#endif
