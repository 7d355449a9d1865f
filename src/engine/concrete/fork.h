/* fork.h - the ways through one scan.
 *
 * A choice is decided only where something that is still unknown reads it.
 * Assumptions come first, and of the choices that they may read those that
 * are not inputs: where no input fits such a combination, it is a dead end.
 * Then ends, watches and the cells' next values are read in this order; a
 * leaf is where all of them are known, or where an end holds.  Leaves share
 * no choice vector, and together with the dead ends they cover all that the
 * assumptions do not forbid.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_FORK_H
#define KEEPCLEAR_ENGINE_CONCRETE_FORK_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct eval;

enum fork_event {
    FORK_LEAF,
    FORK_DEAD_END, /* choice holds the combination that no input fits */
    FORK_LEFT_OUT, /* what fork_limit leaves out; maybe of no leaf at all */
    FORK_DONE
};

enum fork_phase { FORK_OTHERS, FORK_INPUTS, FORK_READ };

struct fork_frame {
    uint32_t row, index;
    uint32_t mark;   /* of the trail, before the decision */
    uint32_t cursor; /* roots before it were known, before the decision */
    enum fork_phase phase;
};

struct fork {
    struct eval *eval;
    uint32_t *choice; /* per row: value index, FLAT_NONE while undecided */
    uint32_t ended;   /* at a leaf: the first end that holds, FLAT_NONE:
                         none, and then every root is known */
    /* the rest is fork.c's own */
    const uint64_t *price; /* per row, of a value other than the free one */
    const uint32_t *free;  /* per row */
    uint64_t spent, most;
    uint32_t must;
    const uint32_t *surpass; /* per row, or NULL */
    enum fork_phase phase;
    bool started, fits;
    uint32_t cursor, depth;
    struct fork_frame *frames; /* at most one per row */
    uint32_t *reads;           /* ends, watches, cells, values */
    uint32_t n_reads;
    uint32_t *seen, stamp, *stack;
};

/* Lies in the arena, borrows eval. */
struct fork *fork_new(struct arena *arena, struct eval *eval);

/* Choices that eval_fix made constant (NULL: none): shown as decided.  The
 * array must stay valid. */
void fork_fix(struct fork *fork, const uint32_t *fixed);

/* What decisions cost from now on: per choice row the price of every value
 * but the one in `free`.  The arrays are borrowed. */
void fork_charge(struct fork *fork, const uint64_t *price,
                 const uint32_t *free);

/* Leaves out ways whose decisions cost more than `most`, and those on which
 * node `must` is 0 (FLAT_NONE: none), until fork_begin, which leaves out
 * nothing.  May be called between two ways. */
void fork_limit(struct fork *fork, uint64_t most, uint32_t must);

/* Leaves out ways none of which comes before these choices in the canonical
 * order (cost.h), until fork_begin.  The array is borrowed. */
void fork_surpass(struct fork *fork, const uint32_t *choices);

/* Begins anew on what was just loaded into eval. */
void fork_begin(struct fork *fork);

/* The next way, always in the same order. */
enum fork_event fork_next(struct fork *fork);

#endif
