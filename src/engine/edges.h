/* edges.h - walking every transition of an exploration, for views and for
 * questions about ways on. */
#ifndef KEEPCLEAR_ENGINE_EDGES_H
#define KEEPCLEAR_ENGINE_EDGES_H

#include <stdbool.h>
#include <stdint.h>

struct exploration;

/* One way through one scan: `from` is FLAT_NONE (as uint64: UINT64_MAX) for
 * the first scan.  choice[i] is a value index, or FLAT_NONE where row i was
 * not read.  Arrays are valid during the call only. */
struct edge {
    uint64_t from, to;       /* situations; to is UINT64_MAX where a path
                                ends in an error */
    const uint32_t *choice;
    const int64_t *value;    /* per value root of the slice */
    const bool *watch;       /* per watch of the slice; where a path ends,
                                none holds */
};

/* Calls visit for every leaf out of situation `from` (UINT64_MAX: first
 * scans); stops early when visit gives false.  The exploration must be
 * complete, or situations not stored are given as UINT64_MAX - 1.  visit
 * must not walk the same exploration. */
bool edges_from(struct exploration *exploration, uint64_t from,
                bool (*visit)(void *context, const struct edge *edge),
                void *context);

/* Only those of later scans in which the choices are as given: per choice
 * row a value index, FLAT_NONE where it is free.  `from` is a situation.
 * Cheap as long as the same is given again. */
bool edges_given(struct exploration *exploration, uint64_t from,
                 const uint32_t *given,
                 bool (*visit)(void *context, const struct edge *edge),
                 void *context);

/* All of them, first scans first, then situation by situation. */
bool edges_all(struct exploration *exploration,
               bool (*visit)(void *context, const struct edge *edge),
               void *context);

#endif
