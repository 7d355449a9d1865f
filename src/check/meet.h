/* meet.h - which types go together, and what to write where they do not.
 *
 * Integers widen where every value fits (SINT, INT, DINT, LINT; USINT, UINT,
 * UDINT, ULINT; unsigned into wider signed), bit strings into wider ones.
 * A whole number without a type takes the type it meets.
 */
#ifndef KEEPCLEAR_CHECK_MEET_H
#define KEEPCLEAR_CHECK_MEET_H

#include "check/env.h"

/* A whole number without a type yet? */
bool meet_is_literal(const struct env *env, const struct code_expr *expr);

/* The type in which two operands meet, or NULL. */
const struct type *meet_types(struct env *env, const struct code_expr *left,
                              const struct code_expr *right);

/* Gives a whole number without a type this one. */
void meet_adopt(struct env *env, struct code_expr *expr,
                const struct type *type);

/* Reports that two operands do not meet; NULL. */
struct code_expr *meet_mismatch(struct env *env,
                                const struct code_expr *left,
                                const struct code_expr *right,
                                struct span span);

/* May a value of one type be stored in the other as it is, or with the check
 * that it fits? */
bool meet_stores(const struct type *from, const struct type *to);

/* Does every value of one fit the other, without a conversion written? */
bool meet_widens(const struct type *from, const struct type *to);

/* "write INT_TO_WORD(...)" where that conversion exists, else what is given;
 * in the arena. */
const char *meet_hint(struct env *env, const struct type *from,
                      const struct type *to, const char *otherwise);

#endif
