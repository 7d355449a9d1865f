/* regain.h - can it be brought about from every situation in which it is
 * asked? */
#ifndef KEEPCLEAR_ENGINE_SETS_REGAIN_H
#define KEEPCLEAR_ENGINE_SETS_REGAIN_H

#include "engine/sets/sets.h"

/* Whose a choice is.  We choose without seeing what others choose in the same
 * scan; whatever each of the others chooses must do, and whatever is
 * shared.  An end of the slice is never good. */
enum regain_side {
    REGAIN_OURS,
    REGAIN_OTHERS, /* if they end what is asked, that is their way */
    REGAIN_SHARED  /* must not decide whether what is asked ends */
};

/* What is asked; watches by their number within the slice. */
struct regain_asked {
    uint32_t goal;  /* holds where it was brought about along the way */
    uint32_t asked; /* holds at every other judging along the way, and where
                       it is asked; FLAT_NONE: along any way, and asked after
                       every first scan only */
    const enum regain_side *side; /* per choice row; NULL: all are ours, and
                                     one that does is enough */
    const uint32_t *fixed; /* choices along the way, as fixed_next of struct
                              explore_setting; NULL: as in the run */
};

enum regain {
    REGAIN_ALWAYS,
    REGAIN_NOT, /* there is a situation from which it cannot */
    REGAIN_LOST /* a limit was met */
};

/* Of a run that is complete: docs/notes/step.md, section 8.  Those situations from which the goal can be
 * brought about grow backwards from the goal until nothing is added; then
 * none of those in which it is asked may lie outside. */
enum regain sets_regain(struct sets *sets, const struct regain_asked *asked);

#endif
