/* leave.h - leaving a loop or a POU while texts are run symbolically.
 *
 * Whether the running path has met EXIT, CONTINUE or RETURN is a value like
 * that of a variable: it lies in the environment behind the slots of the
 * model and is merged with them.  What stands behind runs in an arm under NOT
 * left; arms lie within one another and end together:
 *
 *     struct nest nest;
 *     nest_begin(sym, &nest);
 *     for each statement: run it; if (!leave_stay(sym, &nest)) break;
 *     nest_end(sym, &nest);
 */
#ifndef KEEPCLEAR_LOWER_LEAVE_H
#define KEEPCLEAR_LOWER_LEAVE_H

#include "lower/sym.h"

struct nested {
    size_t mark;
    flat_expr condition;
};

struct nest {
    flat_expr path; /* as it was */
    VEC(struct nested) arms;
};

void nest_begin(const struct sym *sym, struct nest *nest);

/* From here to the end of the nest only where the condition holds.  FALSE:
 * nothing leads there, unless what is written at all is asked. */
bool nest_enter(struct sym *sym, struct nest *nest, flat_expr condition);

/* Ends all arms. */
void nest_end(struct sym *sym, struct nest *nest);

/* Can the present path be taken, or is it asked what is written at all? */
bool nest_leads_in(const struct sym *sym);

enum leave { LEAVE_EXIT, LEAVE_CONTINUE, LEAVE_RETURN, LEAVE_KINDS };

/* EXIT, CONTINUE or RETURN is run on the present path. */
void leave_now(struct sym *sym, enum leave kind);

/* Behind what this leaves: the loop, the pass, the POU. */
void leave_end(struct sym *sym, enum leave kind);

/* From here on only where nothing was left; FALSE: everything was. */
bool leave_stay(struct sym *sym, struct nest *nest);

#endif
