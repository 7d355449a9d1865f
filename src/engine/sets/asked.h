/* asked.h - what is to be possible, and who chooses. */
#ifndef KEEPCLEAR_ENGINE_SETS_ASKED_H
#define KEEPCLEAR_ENGINE_SETS_ASKED_H

#include <stdint.h>

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

#endif
