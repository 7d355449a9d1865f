/* anything.h - variables that take any value: assignments that are made for
 * what nobody follows. */
#ifndef KEEPCLEAR_CHECK_ANYTHING_H
#define KEEPCLEAR_CHECK_ANYTHING_H

#include "base/vec.h"
#include "check/abstract.h"

/* The assignments so far, and whose they are. */
struct anything {
    struct env *env;
    const struct symbol *symbol; /* shown, with its place */
    const struct code_pou *unknown; /* of an UNKNOWN text, else NULL */
    VEC(struct code_stmt) stmts;
};

/* Each part of a variable of that type any value, one by one. */
void anything_give(struct anything *any, struct code_variable target,
                   const struct type *type);

/* Moves the statements into the arena; how many in *n. */
const struct code_stmt *anything_take(struct anything *any, uint32_t *n);

#endif
