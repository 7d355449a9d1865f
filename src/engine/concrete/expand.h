/* expand.h - from a situation to those that one scan makes of it.
 *
 *     expander_begin(x, words);
 *     while ((event = expander_next(x)) != FORK_DONE) ...
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_EXPAND_H
#define KEEPCLEAR_ENGINE_CONCRETE_EXPAND_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/concrete/fork.h"

struct arena;
struct pack;
struct plan;
struct slice;

struct expander {
    const struct plan *plan;
    struct eval *eval;
    struct fork *fork;
    uint64_t leaves;  /* since it was made */
    uint64_t reduced; /* leaves with a value that its cell cannot hold */
    /* the rest is expand.c's own */
    const struct pack *pack;
    int64_t *cells;
    uint64_t *base, *words; /* of the situation: known at once; at a leaf */
    uint32_t *open;         /* cells that depend on choices */
    uint32_t n_open;
    bool base_fits;
};

/* Lies in the arena; parts as in plan_new. */
struct expander *expander_new(struct arena *arena,
                              const struct slice *slice,
                              const struct pack *pack, bool first,
                              unsigned parts);

/* Choices that are taken as given from the next expander_begin on: per row
 * a value index or FLAT_NONE; NULL: none.  The array is borrowed. */
void expander_fix(struct expander *x, const uint32_t *fixed);

/* words: the situation before the scan; NULL for a first scan. */
void expander_begin(struct expander *x, const uint64_t *words);

enum fork_event expander_next(struct expander *x);

/* At a leaf that no end holds at: the situation after the scan, valid until
 * the next call. */
const uint64_t *expander_target(struct expander *x);

/* At a leaf: does a root of the plan hold?  Where an end holds, and at dead
 * ends, roots may be unknown: those are taken with undecided choices at
 * rest. */
int64_t expander_value(struct expander *x, uint32_t node);

#endif
