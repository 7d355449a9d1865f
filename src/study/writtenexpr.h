/* writtenexpr.h - expressions and places of control text as expressions over
 * names (written.h), at a moment of the walk. */
#ifndef KEEPCLEAR_STUDY_WRITTENEXPR_H
#define KEEPCLEAR_STUDY_WRITTENEXPR_H

#include "check/code.h"
#include "study/writtenwalk.h"

/* Of two values or a number; base: frame of the text at hand. */
const struct written *writtenexpr_value(struct written_walk *w, uint32_t base,
                                        const struct code_expr *expr);

/* What actuator number `actuator` is told. */
const struct written *writtenexpr_command(struct written_walk *w,
                                          uint32_t actuator);

/* The slots of a variable: its first one where that is known, and how far
 * behind `slot` it can lie or reach. */
struct written_place {
    bool known;
    uint32_t slot;   /* MODEL_NONE: nobody knows anything of it */
    uint32_t reach;
    const struct written *from; /* what its indices are reckoned from */
};

struct written_place writtenexpr_place(struct written_walk *w, uint32_t base,
                                       const struct code_variable *variable,
                                       uint32_t size);

/* What an argument or the right side has, in slots from the first on; n of
 * them, each of its own. */
void writtenexpr_values(struct written_walk *w, uint32_t base,
                        const struct code_expr *expr,
                        const struct written **value, uint32_t n);

/* Assigns them. */
struct written_to {
    const struct code_variable *target;
    struct span span;
};

void writtenexpr_store(struct written_walk *w, uint32_t base,
                       const struct written_to *to,
                       const struct written *const *value, uint32_t n);

struct written_call {
    const struct code_pou *pou;
    const struct code_arg *args; /* n of them */
    uint32_t n;
    struct span span;
};

/* Hands a call its VAR_IN_OUT: for w->alias while it runs. */
const uint32_t *writtenexpr_lend(struct written_walk *w, uint32_t base,
                                 const struct written_call *call);

/* What its inputs get, a list for each argument; NULL: it is none. */
const struct written *const *const *writtenexpr_inputs(
    struct written_walk *w, uint32_t base, const struct written_call *call);

/* Behind it: outputs, and what was lent where nobody knows; inner: where its
 * frame begins. */
void writtenexpr_give_back(struct written_walk *w, uint32_t base,
                           const struct written_call *call, uint32_t inner);

/* Slots of an argument. */
uint32_t writtenexpr_width(const struct code_arg *arg);

#endif
