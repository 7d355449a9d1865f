/* relation.h - conditions that hold together, with what nobody asks for
 * left open as early as possible.
 *
 * A relation is a list of parts, all of which hold; open variables (choices)
 * are done away with where the parts that read them stay small together, and
 * else when a chain is applied.  A chain is an order in which the parts of a
 * relation are joined to a set, each variable being left open as soon as no
 * later part reads it.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_RELATION_H
#define KEEPCLEAR_ENGINE_SETS_RELATION_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/sets/room.h"

struct arena;
struct guard;

/* Where relations are made: results lie in the arena, and their sets are
 * held by the scope of the caller. */
struct workshop {
    struct arena *arena;
    struct arena *scratch; /* for what is of no use afterwards */
    struct room *room;
    struct guard *guard;
    uint32_t n_variables;
    const uint32_t *group; /* per variable: the open thing that it is a bit
                              of, or UINT32_MAX; see relation_new */
    uint32_t n_groups;
    uint32_t joined_most;  /* nodes: more together than apart, and more than
                              this, is not joined for one group's sake */
    uint32_t clustered_most; /* nodes of parts that a chain joins */
    uint64_t steps_most;   /* of one joining (steps.h): what needs more is
                              taken for too large */
    bool whole;            /* relation_new leaves no late ones, however
                              large it gets */
};

/* The variables marked, as room_and_open takes them. */
set workshop_away(struct workshop *shop, const bool *which);

struct relation {
    const set *parts;
    uint32_t n;
    const bool *late; /* per variable: open, and read by parts still */
};

struct chain {
    const set *parts, *away; /* away[0]: before the first part */
    uint32_t n;
};

/* Does away with the variables of groups as far as that stays small. */
const struct relation *relation_new(struct workshop *shop, const set *parts,
                                    uint32_t n);

/* away: per variable, what is left open besides late ones; NULL: nothing. */
const struct chain *relation_chain(struct workshop *shop,
                                   const struct relation *relation,
                                   const bool *away);

/* The set joined to all parts; SET_NONE once the guard does not pass. */
set chain_apply(struct workshop *shop, const struct chain *chain, set from);

#endif
