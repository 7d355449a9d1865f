/* decision.h - the decisions of the control text on which movements depend.
 *
 * A decision is a Boolean expression that is assigned, handed to a block, or
 * stands behind IF, ELSIF, WHILE, UNTIL.  Its conditions are what is left of
 * it without NOT, AND, OR, XOR and without = and <> of two BOOLs; conditions
 * in the same words are one (they are coupled), constants are none.
 *
 * A movement depends on the decision that is assigned to what is commanded,
 * and on those that lead to the assignment or away from it; where one of
 * their conditions is a Boolean variable or the result of a function, on
 * those of each of its assignments too, and so on.  Numbers, enumerations and
 * what a CASE looks at are not followed.  A variable that is assigned to
 * another one as it stands, or a constant, is no decision.
 *
 * A vector says of each condition whether it is TRUE: bit i, condition i.  A
 * condition is decisive in a vector if the decision comes out otherwise when
 * this condition alone does.  Two vectors that differ only in a decisive
 * condition are a unique-cause pair of it (modified condition / decision
 * coverage, ISO/IEC/IEEE 29119-4; from memory).
 */
#ifndef KEEPCLEAR_CHECK_DECISION_H
#define KEEPCLEAR_CHECK_DECISION_H

#include "check/model.h"

struct arena;

enum { /* of a decision whose vectors are listed */
    DECISION_MOST_CONDITIONS = 12, DECISION_MOST_VECTORS = 256
};

struct decision_pair {
    uint32_t condition;
    uint32_t row[2]; /* of vectors: the condition is FALSE, TRUE */
};

struct decision {
    const struct code_expr *expr;
    const struct code_expr *const *conditions; /* where each is first */
    uint32_t n_conditions;
    uint32_t first;          /* number of its first condition among those of
                                all decisions */
    const uint32_t *vectors; /* those of some pair, ascending */
    uint32_t n_vectors;      /* 0 where there are too many */
    uint32_t first_vector;   /* number of the first among those of all */
    const struct decision_pair *pairs; /* by condition, then by vector */
    uint32_t n_pairs;
};

/* Of what an expression is part. */
struct decision_part {
    const struct code_expr *expr;
    uint32_t decision;  /* that it is, or MODEL_NONE */
    uint32_t condition; /* that it is, among those of all decisions, or
                           MODEL_NONE */
};

struct decisions {
    const struct decision *at; /* in the order of the texts */
    uint32_t n;
    uint32_t n_conditions, n_vectors; /* of all decisions */
    const struct decision_part *parts; /* a table by address */
    uint32_t n_parts;
};

/* Is this an actuator that moves something? */
bool decision_moves(const struct actuator *actuator);

/* All of a model on which what moves something depends.  Lies in the
 * arena. */
const struct decisions *decisions_of(struct arena *arena,
                                     const struct model *model);

/* NULL: it is part of none. */
const struct decision_part *decisions_part(const struct decisions *decisions,
                                           const struct code_expr *expr);

#endif
