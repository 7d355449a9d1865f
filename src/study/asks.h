/* asks.h - does a requirement ask less than one of the same name did?
 *
 * Shown by proof: the programs are left out, every actuator and whatever the
 * programs write has any value in every scan, no assumption is made.  What
 * breaks the new one must have broken the old one by then, or the reverse.
 */
#ifndef KEEPCLEAR_STUDY_ASKS_H
#define KEEPCLEAR_STUDY_ASKS_H

#include "study/twins.h"

enum asks {
    ASKS_NOT_KNOWN, /* it could not be put side by side, or was too much */
    ASKS_SAME,      /* whatever breaks the one breaks the other */
    ASKS_LESS,      /* the new one is weaker: whatever breaks it has broken
                       the old one by then, and not the reverse */
    ASKS_MORE,      /* the new one is stronger */
    ASKS_OTHER      /* either can be broken while the other one still holds */
};

struct asking;

/* Two review texts that differ in no more than what they assume and require:
 * the machine must be one.  Never NULL; lies in the arena. */
struct asking *asking_open(struct arena *arena, const struct version *was,
                           const struct version *is,
                           const struct study_setting *setting);
void asking_close(struct asking *asking);

/* Of a requirement of the new text. */
enum asks asking_compare(struct asking *asking, uint32_t requirement);

#endif
