/* past.h - copies of checked expressions: the past, and edges. */
#ifndef KEEPCLEAR_CHECK_PAST_H
#define KEEPCLEAR_CHECK_PAST_H

#include "check/draft.h"

/* A copy of a checked expression; change is called with each new node before
 * its sides are copied. */
struct code_expr *past_copy(struct draft *draft,
                            const struct code_expr *expr,
                            void (*change)(void *context,
                                           struct code_expr *copy),
                            void *context);

/* PREVIOUS of a checked expression: a copy that reads the last judging. */
struct code_expr *past_of(struct draft *draft,
                            const struct code_expr *expr);

/* e AND NOT PREVIOUS e, of a checked condition. */
struct code_expr *past_rising(struct draft *draft, struct code_expr *held,
                              struct span span);

/* now AND NOT before, noted as an edge. */
struct code_expr *past_change(struct draft *draft,
                              const struct code_expr *now,
                              const struct code_expr *before,
                              struct span span);

#endif
