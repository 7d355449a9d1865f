/* unit.h - POUs: their variables and frames, declared when first needed.
 *
 * Bodies are checked later (control.h), so that a POU may be named before it
 * is declared.
 */
#ifndef KEEPCLEAR_CHECK_UNIT_H
#define KEEPCLEAR_CHECK_UNIT_H

#include "check/draft.h"

/* Enters the names of all POUs and of the standard blocks. */
void unit_enter(struct draft *draft);

/* The declared unit of that name; NULL when there is none, or, with *known
 * true, when a mistake was reported. */
struct unit *unit_named(struct draft *draft, const struct name *name,
                        struct span span, bool *known);

/* Declares the variables of one VAR section into a scope: elementary ones
 * and instances get offsets from *size on, and rows in vars. */
struct unit_vars {
    struct scope *scope;
    VEC(struct code_frame_var) rows;
    VEC(uint32_t) in_out_size; /* one per VAR_IN_OUT */
    uint32_t size, n_in_out;
    bool control;  /* of the control text */
    bool called;   /* of a block or function: a call gives its inputs */
    bool all_temp; /* of a function */
    bool mistaken; /* a mistake was reported */
};
void unit_section(struct draft *draft, struct unit_vars *vars,
                  const struct tree_var_block *block);

/* The parameters of a unit in declared order: symbols of the sections
 * VAR_INPUT, VAR_IN_OUT and VAR_OUTPUT.  NULL behind the last. */
const struct symbol *unit_parameter(const struct unit *unit, size_t number);

#endif
