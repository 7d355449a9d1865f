/* ways.h - from which situations can a watch be brought about?
 *
 * Ours are the choices of operators and of the machine; SHARED variables are
 * resolved against us, and we choose without seeing them.
 */
#ifndef KEEPCLEAR_STUDY_WAYS_H
#define KEEPCLEAR_STUDY_WAYS_H

#include <stdbool.h>
#include <stdint.h>

#include "study/study.h"

enum ways_verdict {
    WAYS_ALL,     /* from every first situation */
    WAYS_NOT_ALL, /* there is a first situation from which it cannot */
    WAYS_TOO_MANY /* too many combinations of our choices to resolve */
};

/* Looks at a complete answer; `watch` is the number within the slice.  When
 * WAYS_NOT_ALL, *first gets the first scan that leads nowhere: n_choices
 * value indices in the answer's arena. */
enum ways_verdict ways_find(const struct answer *answer,
                            uint32_t watch, const uint32_t **first);

#endif
