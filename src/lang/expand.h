/* expand.h - what the user asks for by USE, put into its place.
 *
 * The text of the template is written anew with what it was given, each
 * token in its line, and parsed like any other: both implementations see
 * requirements as if somebody had written them out.  Places in it lead back
 * to the template or, where the words are the user's, to the USE.
 */
#ifndef KEEPCLEAR_LANG_EXPAND_H
#define KEEPCLEAR_LANG_EXPAND_H

#include <stdbool.h>
#include <stddef.h>

#include "lang/template.h"

struct sources;
struct tree_run;

/* Puts what templates ask for into the place of each USE of the review text.
 * Names that a template declares get the name of the use before them.  A
 * DESPITE counts for all but POSSIBLE, which says that the machine works.
 * Mistakes go to the context's diags; false when there is one, and the tree
 * is not fit to be checked.  sources are those of the context. */
bool expand_uses(const struct parse_context *context,
                 struct sources *sources, const struct template *templates,
                 size_t n_templates, struct tree_run *run);

enum {
    EXPAND_TEMPLATE = 1 << 16, /* longest text of a template, bytes */
    EXPAND_ALL = 1 << 24       /* of all that is made of them together */
};

#endif
