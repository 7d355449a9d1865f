/* assigned.h - what the control text assigns, and what leads there; and the
 * same of WIRING OUT.
 *
 * Each instance of a block is looked at where it is called, with its own
 * variables; a function once, as if called from nowhere.  What an argument or
 * an output hands over is an assignment, too, and a standard block assigns all
 * that it has from each of its inputs.
 */
#ifndef KEEPCLEAR_CHECK_ASSIGNED_H
#define KEEPCLEAR_CHECK_ASSIGNED_H

#include "base/vec.h"
#include "check/model.h"

struct arena;

/* A condition, or what a CASE looks at, that says whether what stands behind
 * it is run. */
struct assigned_guard {
    const struct code_expr *condition;
    bool selects;                       /* CASE */
    uint32_t base;                      /* of the frame in which it stands */
    const struct assigned_guard *outer; /* one more, or NULL */
};

/* So many, from one on. */
struct assigned_slots {
    uint32_t first, n;
};

struct assignment {
    uint32_t slot, reach;          /* one of so many, from slot on */
    const struct code_expr *value; /* NULL: what lies in `from` */
    struct assigned_slots from;
    uint32_t base;                 /* of the frame in which value stands */
    bool in_review;                /* it stands in WIRING OUT */
    const struct assigned_guard *guard; /* the innermost, or NULL */
};

struct assigned {
    VEC(struct assignment) all;    /* in the order in which they are run */
};

/* Finds all of them; guards lie in the arena. */
void assigned_find(struct assigned *assigned, struct arena *arena,
                   const struct model *model);
void assigned_release(struct assigned *assigned);

/* The slot of a variable, or the first of those where it may be; MODEL_NONE:
 * a VAR_IN_OUT, which is not followed. */
uint32_t assigned_slot(uint32_t base, const struct code_variable *variable);

#endif
