/* room.h - sets of assignments to variables that are true or false, as
 * decision diagrams.  The only door to the library BuDDy.
 *
 * BuDDy is one for the whole program: only one room is open at a time, and
 * only one thread works in it.
 *
 * Sets are numbers; the same set is the same number.  What an operation
 * gives back is held by the room until the scope is left in which it was
 * made:
 *
 *     mark = room_mark(room);
 *     a = room_apply(...); b = room_apply(...);
 *     room_leave(room, mark, &b, 1);       a is let go, b is held outside
 *
 * Once the room is full, operations do nothing and give any set: the caller
 * asks room_use before it believes what it got.  So it is while the steps that
 * steps_bind allows are used up, but then the room is as good as before after
 * steps_unbind.
 */
#ifndef KEEPCLEAR_ENGINE_SETS_ROOM_H
#define KEEPCLEAR_ENGINE_SETS_ROOM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef int set;

enum { SET_NONE = 0, SET_ALL = 1 };

enum room_operation {
    ROOM_AND, ROOM_OR, ROOM_XOR,
    ROOM_WITHOUT, /* a and not b */
    ROOM_SAME     /* both or neither */
};

/* What a set looks like: `variable` decides between two sets of later
 * variables. */
struct room_look {
    uint32_t variable;
    set no, yes;
};

struct room_use {
    bool full; /* results since the last look may be wrong */
    size_t bytes;
    uint64_t nodes; /* in use or not yet swept */
    uint64_t effort; /* what was done, on any machine: nodes ever made, or
                        a share of the steps, where that is more */
    uint64_t left; /* bytes of the limit, at least 1; 0: no limit */
};

/* What may end a room early. */
struct room_limits {
    uint64_t most_bytes; /* as in struct explore_setting */
    /* Asked in the middle of operations, now and then: where it says true
     * the operation is left and the room counts as full.  NULL: never. */
    bool (*stops)(void *context);
    void *context;
};

struct room;

/* A room for variables 0 to n_variables - 1, the first being decided first;
 * limits may be NULL: none.  Variables 2i and 2i + 1 are a pair
 * for room_trade where trade[i] says so.  NULL: not even the empty room
 * lies within the limit.  It is an error of ours if a room is open. */
struct room *room_open(uint32_t n_variables, const bool *trade,
                       const struct room_limits *limits);
void room_close(struct room *room); /* NULL is allowed */

struct room_use room_use(const struct room *room);

/* So many bytes of the limit are for others, never fewer than before: the room
 * grows into what is left. */
void room_reserve(struct room *room, uint64_t bytes);

set room_variable(struct room *room, uint32_t variable);
set room_apply(struct room *room, enum room_operation operation, set a,
               set b);
set room_choose(struct room *room, set condition, set yes, set no);

/* a and b, with the variables of `away` (an AND of variables) left open. */
set room_and_open(struct room *room, set a, set b, set away);

/* Every variable 2i + 1 of a pair in the place of 2i (second: false) or
 * the other way round; what it replaces must not be read. */
set room_trade(struct room *room, set a, bool to_second);

size_t room_mark(const struct room *room);
void room_leave(struct room *room, size_t mark, set *kept, size_t n);

/* Puts a set into a place that outlives scopes, and lets go what was there;
 * places begin as SET_NONE. */
void room_hold(struct room *room, set *place, set value);

struct room_look room_look(set a);
uint32_t room_size(set a); /* nodes */

/* Marks the variables, of all of the room, that a set depends on. */
void room_reads(const struct room *room, set a, bool *reads);

#endif
