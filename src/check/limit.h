/* limit.h - times in requirements: rounded against the claim, and tightened
 * for what happens between two samplings (docs/notes/step.md, section 5). */
#ifndef KEEPCLEAR_CHECK_LIMIT_H
#define KEEPCLEAR_CHECK_LIMIT_H

#include "check/draft.h"

/* Which way a time must be moved to make the claim harder to keep. */
enum limit_sign {
    LIMIT_NONE = 0,
    LIMIT_SHORTER = 1,
    LIMIT_LONGER = 2,
    LIMIT_BOTH = 3
};

/* Sets judged and events; reports a judged time below zero. */
bool limit_judge(struct draft *draft, struct limit *limit,
                 enum limit_sign sign, uint32_t events, struct span span);

/* Judges the TRUE FOR terms of an expression in which no side is the strict
 * one: they must be SAMPLED. */
void limit_sampled(struct draft *draft, const struct code_expr *expr);

/* Judges all TRUE FOR terms of a requirement, and its own limit. */
void limit_requirement(struct draft *draft,
                       struct requirement *requirement);

#endif
