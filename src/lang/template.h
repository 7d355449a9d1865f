/* template.h - a template as it was written: its parameters, and the tokens
 * among which they stand.
 *
 * Every name in a template is a parameter, or its own (a requirement, a
 * hazard, a recorder or a variable of one), or a word that every text knows:
 * it cannot reach what the user declares unless it is handed over.
 */
#ifndef KEEPCLEAR_LANG_TEMPLATE_H
#define KEEPCLEAR_LANG_TEMPLATE_H

#include <stdbool.h>
#include <stdint.h>

#include "lang/context.h"
#include "lang/review.h"

enum template_role {
    TEMPLATE_PLAIN,     /* stays as it is */
    TEMPLATE_PARAMETER, /* `number` of it, from 0 */
    TEMPLATE_OWN        /* gets the name of the use before it */
};

struct template_word {
    uint32_t from, to;
    enum template_role role;
    uint32_t number;
    bool alone; /* ( ) stand around it */
};

struct template {
    const struct tree_template *tree;
    uint32_t file;
    uint32_t head_from, head_to;       /* PARAMETERS .. END_PARAMETERS */
    const struct template_word *words; /* those that are not plain */
    uint32_t n_words;
};

/* Reads the template text number `file`; mistakes, and what is said of
 * spellings, go to the context's diags.  False when there is a mistake. */
bool template_read(const struct parse_context *context, uint32_t file,
                   enum tree_spelling spelling, struct template *out);

#endif
