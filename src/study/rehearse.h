/* rehearse.h - long random runs of the reference interpreter.
 *
 * What occurs in one of them can occur: triggers and branches seen here need
 * no search.  What is not seen here says nothing.  The runs are the same on
 * every machine.
 */
#ifndef KEEPCLEAR_STUDY_REHEARSE_H
#define KEEPCLEAR_STUDY_REHEARSE_H

#include <stdbool.h>

#include "study/study.h"

struct rehearsal {
    bool *const *trigger; /* per requirement, per trigger: occurred */
    bool *branch;         /* per branch site: taken */
    bool *stretch;        /* per stretch: run; without faults, as all */
    bool *breach;         /* per requirement: broken, without faults or with
                             one that it names; of POSSIBLE: what it looks
                             for was there */
};

/* Lies in the study's arena. */
const struct rehearsal *rehearse(struct study *study);

/* So many runs, in each of which only some hands move, and every second has
 * one fault.  They end with the first that breaks a wanted requirement, one
 * of those that look for no way; wanted NULL: with the last. */
const struct rehearsal *rehearse_varied(struct study *study, uint32_t runs,
                                        const bool *wanted);

/* A second version of the control text runs beside the first, with the same
 * hands, choices and fault, in so many such runs: *difference gets the first
 * time that an output differs, as pair_ask tells it.  False: none was met,
 * which says nothing.  Both have the same rows of choices. */
struct pair_found;
struct pair_outputs;
bool rehearse_beside(struct study *before, struct study *after,
                     const struct pair_outputs *outputs, uint32_t runs,
                     struct pair_found *difference);

#endif
