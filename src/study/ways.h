/* ways.h - from which situations can a watch be brought about?
 *
 * Ours are the choices of operators and of the machine; SHARED variables,
 * and operators that are not named where some are, are resolved against us,
 * and we choose without seeing them.
 */
#ifndef KEEPCLEAR_STUDY_WAYS_H
#define KEEPCLEAR_STUDY_WAYS_H

#include <stdbool.h>
#include <stdint.h>

#include "study/answer.h"

enum ways_verdict {
    WAYS_ALL,     /* from every first situation */
    WAYS_NOT_ALL, /* there is a first situation from which it cannot */
    WAYS_TOO_MANY /* too many combinations of our choices to resolve */
};

/* Looks at a complete answer that can be walked; `watch` is the number
 * within the slice.  When WAYS_NOT_ALL, *first gets the first scan that leads
 * nowhere: n_choices value indices in the answer's arena. */
enum ways_verdict ways_find(const struct answer *answer,
                            uint32_t watch, const uint32_t **first);

/* What is asked of every situation; watches by their number within the
 * slice. */
struct ways_again {
    uint32_t goal;  /* holds where it was brought about along the way */
    uint32_t asked; /* holds at every other judging along the way; where
                       neither does, the way has been left */
    const bool *operators; /* per choice row of an operator or free input: is
                              it on our side; NULL: all are */
};

enum ways_end { WAYS_KNOWN, WAYS_UNRESOLVED, WAYS_INTERRUPTED };

/* Per situation of a complete answer: can it be brought about from there,
 * with the faults that are present, none appearing, and power on?  *can lies
 * in the answer's arena and counts only where the result is WAYS_KNOWN.
 * Passes over all transitions until nothing is added. */
enum ways_end ways_again(const struct answer *answer,
                         const struct ways_again *again,
                         bool (*interrupted)(void), const bool **can);

/* The same, found without walking; WAYS_WALK: a limit was met, so it must be
 * looked at by walking.  Where it is not always, *astray gets the way to where
 * it cannot be brought about (engine/sets/astray.h), in the answer's arena;
 * NULL: it must be looked for by walking. */
enum ways_quick { WAYS_ALWAYS, WAYS_NOT_ALWAYS, WAYS_WALK };

/* As ways_find: from every first situation.  *astray is one scan, that of
 * ways_find. */
enum ways_quick ways_find_quick(struct answer *answer, uint32_t watch,
                                const struct sequence **astray);

/* As ways_again: is it possible wherever it is asked?  *astray is the
 * canonical sequence whose last scan leads, where it is asked, to where it is
 * not. */
enum ways_quick ways_again_quick(struct answer *answer,
                                 const struct ways_again *again,
                                 const struct sequence **astray);

#endif
