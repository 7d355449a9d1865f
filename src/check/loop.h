/* loop.h - FOR, WHILE, REPEAT and what leaves them: what stands around the
 * body, which check/stmt.c checks between loop_begin and loop_end. */
#ifndef KEEPCLEAR_CHECK_LOOP_H
#define KEEPCLEAR_CHECK_LOOP_H

#include "check/env.h"

/* The head of a loop.  around gets what stands around its body, to be hung
 * into env while that is checked.  False when a mistake was reported; the
 * body can be checked all the same. */
bool loop_begin(struct env *env, const struct tree_stmt *tree,
                struct code_stmt *out, struct env_loop *around);

/* The body, out->branches[0], is there. */
void loop_end(struct env *env, struct code_stmt *out);

/* EXIT, CONTINUE, RETURN. */
bool loop_leave(struct env *env, const struct tree_stmt *tree,
                struct code_stmt *out);

#endif
