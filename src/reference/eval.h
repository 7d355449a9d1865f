/* eval.h - the value of a checked expression. */
#ifndef KEEPCLEAR_REFERENCE_EVAL_H
#define KEEPCLEAR_REFERENCE_EVAL_H

#include "reference/scan.h"

/* Every side of every operator is evaluated, but the right one of AND_THEN
 * and OR_ELSE where the left one decides.  A run-time error sets
 * scan->failed; the result is then 0 and of no meaning.  NULL is TRUE. */
int64_t eval(struct scan *scan, const struct frame *frame,
             const struct code_expr *expr);

/* The same for a review text, whose names are absolute. */
int64_t eval_review(struct scan *scan, const struct code_expr *expr);

/* The slot at which a variable lies or begins, seen from a frame; its
 * indices are evaluated.  One outside its array is a run-time error. */
uint32_t eval_place(struct scan *scan, const struct frame *frame,
                    const struct code_variable *variable);

/* The same for one without indices to evaluate. */
uint32_t eval_slot(const struct frame *frame,
                   const struct code_variable *variable);

/* The values of an expression of any type, one per slot of it.  *from is the
 * slot that the first is a copy of, where the type is an array or a
 * structure; the others lie behind it. */
void eval_all(struct scan *scan, const struct frame *frame,
              const struct code_expr *expr, int64_t *values, uint32_t *from);

/* Advances a TRUE FOR clock, once in a scan, and gives its value. */
bool eval_clock(struct scan *scan, uint32_t clock);

#endif
