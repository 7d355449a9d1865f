/* unfold.h - runs checked expressions and statements in the scan's
 * environment.
 *
 * Recursion follows the depth of the text, which the checker bounds.
 */
#ifndef KEEPCLEAR_LOWER_UNFOLD_H
#define KEEPCLEAR_LOWER_UNFOLD_H

#include "lower/sym.h"

/* The value of an expression of review text on the present path; its errors
 * are recorded.  NULL gives FALSE. */
flat_expr unfold_expr(struct sym *sym, const struct code_expr *expr);

/* Runs the statements of a review text. */
void unfold_body(struct sym *sym, const struct body *body);

/* Runs a program once. */
void unfold_program(struct sym *sym, const struct program *program);

/* Is TRUE FOR clock i's expression held long enough at this judging?  Its
 * first use computes it. */
flat_expr unfold_clock(struct sym *sym, uint32_t clock);

#endif
