/* request.h - what a slice is asked for. */
#ifndef KEEPCLEAR_LOGIC_REQUEST_H
#define KEEPCLEAR_LOGIC_REQUEST_H

#include "base/cause_set.h"
#include "logic/flat.h"

struct keep;

struct slice_request {
    const uint32_t *watches; /* numbers of flat->watches that are asked for */
    uint32_t n_watches;
    const uint32_t *ends;    /* numbers of flat->watches, kind WATCH_ERROR,
                                known to be reachable: a path ends there */
    uint32_t n_ends;
    const flat_expr *values; /* further expressions to keep (views) */
    uint32_t n_values;
    const uint32_t *with_assumptions; /* to start from, besides */
    uint32_t n_with_assumptions;
    const uint32_t *with_cells; /* cells to start from, besides */
    uint32_t n_with_cells;
    uint32_t faults;         /* n: at most so many causes ever occur */
    const bool *allowed;     /* per cause: may it occur; NULL: all */
    const struct cause_set *forbidden; /* the causes of each never all occur */
    uint32_t n_forbidden;
    const uint32_t *studied; /* causes whose noticing is asked about; faults
                                then stay once they appeared */
    uint32_t n_studied;
    const bool *dropped;     /* per assumption: left out; NULL: none */
    bool free_times;         /* movements take any time, or never happen */
    struct keep *keep;     /* logic/keep.h; NULL: nothing is kept */
};

#endif
