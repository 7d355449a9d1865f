/* sight.h - what an expression looks at. */
#ifndef KEEPCLEAR_CHECK_SIGHT_H
#define KEEPCLEAR_CHECK_SIGHT_H

#include "check/draft.h"

/* The sum of what is found below an expression. */
struct sight {
    bool outside;     /* hands, contacts, sensors, machine variables, or a
                          recorder, which may depend on them */
    bool hand_now;    /* a hand, contact or READ of this scan */
    bool hand_before; /* its value at the previous judging */
    bool machine_before; /* a machine variable or sensor, likewise */
    bool program;      /* READ, COMMANDED, variables of the control text */
    bool past;         /* PREVIOUS of anything */
    bool clock;        /* TRUE FOR */
    struct span place; /* of the first `program` leaf */
};

/* Adds what expr (NULL allowed) looks at, but for what is below `except`. */
void sight_add(const struct draft *draft, const struct code_expr *expr,
               const struct code_expr *except, struct sight *sight);

#endif
