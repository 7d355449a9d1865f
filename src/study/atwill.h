/* atwill.h - has the logic a part in what is kept?
 *
 * A requirement that stays kept when the actuators are commanded at will
 * follows from the assumptions or from the machine: it was not put to the
 * test.  One that breaks there but not with the wiring in place is kept by
 * the wiring alone.
 */
#ifndef KEEPCLEAR_STUDY_ATWILL_H
#define KEEPCLEAR_STUDY_ATWILL_H

#include "base/vec.h"
#include "study/findings.h"
#include "study/study.h"

/* The logic without its programs, made when first asked for; all zero to
 * begin with. */
struct at_will {
    struct lowered *lowered[2]; /* per enum lower_way */
    bool tried[2];
    VEC(uint32_t) ends[2]; /* watches of errors that end its paths */
};

void at_will_release(struct at_will *at_will);

/* For a requirement found to be kept: fills in finding->part, and changes the
 * verdict where the logic has no part.  Forms that ask for a way are left
 * alone. */
void at_will_judge(struct at_will *at_will, struct study *study,
                   struct requirement_finding *finding);

#endif
