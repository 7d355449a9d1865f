/* walk.h - every expression of a model, once.
 *
 * For questions about the text as a whole: what is ever remembered, how long
 * a timer can be.
 */
#ifndef KEEPCLEAR_REFERENCE_WALK_H
#define KEEPCLEAR_REFERENCE_WALK_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

struct arena;

struct walk {
    /* Called for every expression node; in_review: of a review text. */
    void (*expr)(void *context, const struct code_expr *expr,
                 bool in_review);
    /* Called besides for every value that is stored into a variable. */
    void (*stored)(void *context, const struct code_expr *value);
    /* Called besides for every call that stands in a text. */
    void (*called)(void *context, const struct code_pou *pou);
    void *context;
};

/* Walks all texts of the model; the arena is used for notes. */
void walk_model(struct arena *arena, const struct model *model,
                const struct walk *walk);

#endif
