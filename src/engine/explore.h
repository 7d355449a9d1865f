/* explore.h - every reachable situation of a slice, breadth first.
 *
 * Exact: situations are stored whole.  A choice is decided only where the
 * scan reads it, and never against the assumptions.  The order of work and
 * so every count is the same on every machine.
 */
#ifndef KEEPCLEAR_ENGINE_EXPLORE_H
#define KEEPCLEAR_ENGINE_EXPLORE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "logic/slice.h"

/* What ends a run before everything was looked at. */
enum explore_end {
    EXPLORE_COMPLETE,      /* every reachable situation was looked at */
    EXPLORE_SEEN,          /* all that was asked for was seen */
    EXPLORE_SITUATIONS,    /* limit of situations */
    EXPLORE_MEMORY,        /* limit of bytes */
    EXPLORE_INTERRUPTED    /* a signal */
};

struct explore_setting {
    uint64_t most_situations; /* 0: no limit */
    uint64_t most_bytes;      /* 0: no limit */
    bool (*interrupted)(void *context); /* asked now and then; NULL: never */
    void *interrupted_context;
    /* Called after each level with its number and the situations so far;
     * NULL: never. */
    void (*progress)(void *context, uint32_t level, uint64_t situations);
    void *progress_context;
    /* Per watch of the slice: the run may stop once all of these were seen;
     * NULL, or none of them: never stop for a watch. */
    const bool *until;
    /* Fixed values, per choice row a value index or FLAT_NONE, in the first
     * scan and in later ones; NULL: none. */
    const uint32_t *fixed_first, *fixed_next;
    uint32_t threads; /* at most so many, 0 and 1: one; no more where
                         situations are limited */
    uint64_t alone;   /* steps before others are called in; 0: as is usual */
    uint64_t most_effort; /* of the engine over sets (room.h), which is asked
                             alone then: what needs more ends as interrupted,
                             on any machine at the same place; 0: any */
    uint64_t most_work;   /* of a walk over situations, and of each search
                             there for a sequence, in nodes that are looked
                             at: what needs more ends as interrupted, on any
                             machine at the same place; 0: any */
};

struct exploration;

/* Explores; never NULL.  The slice must outlive the result; setting may be
 * NULL: no limits. */
struct exploration *explore(const struct slice *slice,
                            const struct explore_setting *setting);
void exploration_free(struct exploration *exploration);

/* What a walk over an exploration asks now and then whether it must be left,
 * instead of what the setting says; NULL: nothing. */
void exploration_listen(struct exploration *exploration,
                        bool (*interrupted)(void *context), void *context);

/* Takes one more situation; false: a limit or a signal came, and no more is
 * taken. */
typedef bool explore_taker(void *taker, const int64_t *cells);

/* Situations that are known already, by the judging after which they stand:
 * `list` hands those of a level, 1 to length - 1, to the taker, each once
 * and in no other level. */
struct explore_known {
    void (*list)(void *context, uint32_t level, explore_taker *take,
                 void *taker);
    void *context;
    uint32_t length;
};

/* An exploration of those, without looking at any scan; nothing counts as
 * seen.  setting may be NULL. */
struct exploration *explore_known(const struct slice *slice,
                                  const struct explore_setting *setting,
                                  const struct explore_known *known);

enum explore_end exploration_end(const struct exploration *exploration);

/* Did most_work end it? */
bool exploration_spent(const struct exploration *exploration);

/* Situations stored, levels complete, situations first seen per level
 * (level from 1). */
uint64_t exploration_situations(const struct exploration *exploration);
uint32_t exploration_levels(const struct exploration *exploration);
uint64_t exploration_level_size(const struct exploration *exploration,
                                uint32_t level);

/* The first level at which watch number `watch` of the slice was seen, 0:
 * never. */
uint32_t exploration_watch_level(const struct exploration *exploration,
                                 uint32_t watch);

/* The number of judgings before the first dead end of the assumptions, or
 * FLAT_NONE; 0 means that in the first scan already, for some choice of what
 * is no input, no input fits.  A run that ended early knows only of what it
 * looked at. */
uint32_t exploration_dead_end(const struct exploration *exploration);

/* The first level at which end number `end` was seen, 0: never.  Where
 * several hold at once, the first in the slice's order is the one seen. */
uint32_t exploration_end_level(const struct exploration *exploration,
                               uint32_t end);

/* Leaves with a value that its cell cannot hold; it was moved to the nearest
 * that it can.  Not 0 only behind a run-time error that is no end of the
 * slice: while none is known to be reachable, it is an error of ours. */
uint64_t exploration_reduced(const struct exploration *exploration);

/* Bytes held. */
size_t exploration_bytes(const struct exploration *exploration);

/* Value of a slice cell in situation number `situation` (in order of
 * discovery). */
int64_t exploration_value(const struct exploration *exploration,
                          uint64_t situation, uint32_t cell);

#endif
