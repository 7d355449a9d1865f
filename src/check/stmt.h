/* stmt.h - statements. */
#ifndef KEEPCLEAR_CHECK_STMT_H
#define KEEPCLEAR_CHECK_STMT_H

#include "check/env.h"

/* Checks a list of statements and gives back an array in the arena;
 * statements with mistakes are left out. */
const struct code_stmt *
stmt_check(struct env *env, const struct tree_stmt *first, uint32_t *count);

#endif
