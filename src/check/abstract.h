/* abstract.h - operators and functions on values that are not followed in
 * full: REAL, texts, dates.
 *
 * Copies and comparisons of a REAL with a constant stay exact.  All else
 * becomes an open place (model.h): any value of its type.
 */
#ifndef KEEPCLEAR_CHECK_ABSTRACT_H
#define KEEPCLEAR_CHECK_ABSTRACT_H

#include "check/env.h"

/* Is one of the two (right may be NULL) of such a type? */
bool abstract_takes(const struct code_expr *left,
                    const struct code_expr *right);

/* left op right, a comparison or + - * / MOD **; or NULL when a mistake was
 * reported. */
struct code_expr *abstract_binary(struct env *env, enum tree_op op,
                                  struct code_expr *left,
                                  struct code_expr *right,
                                  struct span span);

/* Makes REALs of these numbers, each followed, and gives the type in which
 * they meet: `wanted` (may be NULL) where none says.  NULL when they are not
 * all numbers, or one of them is none of that type (reported). */
const struct type *abstract_meet(struct env *env,
                                 struct code_expr *const *values,
                                 uint32_t count, const struct type *wanted);

/* What becomes of not-a-number among the operands: enters the place.  False
 * when the text cannot have one (reported). */
bool abstract_pick(struct env *env, struct code_expr *expr,
                   const char *what);

/* -value. */
struct code_expr *abstract_negate(struct env *env, struct code_expr *value,
                                  struct span span);

/* May the value be stored in a variable of this type?  It is changed in
 * place where it has to be converted.  False when a mistake was reported. */
bool abstract_store(struct env *env, struct code_expr *value,
                    const struct type *target);

/* 1.5, 'text', D#2020-01-01. */
struct code_expr *abstract_literal(struct env *env,
                                   const struct tree_expr *tree);

/* Gives a number with a point that has no type yet LREAL. */
void abstract_settle(struct draft *draft, struct code_expr *value);

/* Any value of a type, made at span after the operands (count of them, all
 * evaluated); what: "+", "SQRT".  NULL when the text cannot have an open
 * place (reported). */
struct code_expr *abstract_any(struct env *env, struct open_place place,
                               struct code_expr *const *operands,
                               uint32_t count);

#endif
