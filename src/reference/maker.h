/* maker.h - what the controller does where controllers differ.
 *
 * Inside of the machine.
 */
#ifndef KEEPCLEAR_REFERENCE_MAKER_H
#define KEEPCLEAR_REFERENCE_MAKER_H

#include "reference/scan.h"

/* The choice that holds. */
uint32_t maker_choice(const struct scan *scan, enum setting_kind kind);

/* How standard blocks go about it; all zero but the times: as the standard
 * has it. */
struct maker {
    bool swapped;       /* SR and RS */
    bool silent_rise, silent_fall; /* at the first call */
    bool up_to_preset;  /* CTU, CTUD */
    bool latched;       /* PT at the start */
    bool next_call;     /* PT = 0 */
    bool called;        /* time goes on in calls only */
    uint32_t shown;     /* ET: ELAPSED_ */
    int64_t elapsed;    /* time goes on by so much, */
    int64_t most;       /* up to */
};

/* Of the block whose frame begins at that slot. */
struct maker maker_of(const struct scan *scan, uint32_t frame);

/* a op b, which is beyond the type of the expression; FALSE: that is an
 * error. */
bool maker_turns(const struct scan *scan, const struct code_expr *expr,
                 int64_t a, int64_t b, int64_t *result);

#endif
