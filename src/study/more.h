/* more.h - watches and stored values that one study alone asks for, behind
 * those that a model has. */
#ifndef KEEPCLEAR_STUDY_MORE_H
#define KEEPCLEAR_STUDY_MORE_H

#include "study/study.h"

struct study_more {
    const struct flat_watch *watches;
    uint32_t n_watches;
    const struct flat_cell *cells;
    uint32_t n_cells;
};

/* Takes them in; what they read lies in the builder of the study.  Watches
 * and cells that are there keep their numbers.  May be called again; copies
 * every expression, so better a few times than often. */
void study_add(struct study *study, const struct study_more *more);

#endif
