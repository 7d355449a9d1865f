#include "engine/sets/room.h"

#include <bdd.h>
#include <stdlib.h>

#include "base/ensure.h"
#include "base/vec.h"

enum {
    LEAST_NODES = 1 << 12, MOST_FIRST_NODES = 1 << 17,
    NODES_PER_VARIABLE = 256, /* to begin with, so that little is swept */
    NODES_NEEDED = 8,         /* per variable, for the variables alone */
    NODE_BYTES = 20,      /* of BuDDy 2.4 */
    NODES_PER_ENTRY = 4,  /* of each cache */
    CACHES = 6, ENTRY_BYTES = 24,
    COUNT_BYTES = 14,     /* a node, on average, of what counts situations */
    FIXED_BYTES = 2 << 20, /* of the library, and what it wastes */
    FREE_PERCENT = 50,    /* less than this after a sweep: grow */
    AWAY_NUMBERS = 1 << 24,
    MOST_NODES = 1 << 30,
    PRIME_GAP = 1 << 10   /* tables have a prime number of nodes */
};

struct room {
    uint32_t n_variables;
    bool full;
    uint64_t most_nodes;
    bddPair *to_first, *to_second;
    VEC(set) held; /* what scopes hold */
};

/* That the limit is reached is noticed by what is free (below); all else is
 * a mistake of ours, which must not become a result. */
static void on_error(int code)
{
    if (code == BDD_MEMORY)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    if (code != BDD_NODENUM)
        base_fail(BASE_INTERNAL_ERROR, bdd_errstring(code), __FILE__,
                  __LINE__);
}

static size_t bytes_of(uint64_t nodes)
{
    return (size_t)(nodes * (NODE_BYTES + COUNT_BYTES) +
                    nodes / NODES_PER_ENTRY * CACHES * ENTRY_BYTES);
}

/* What is left of a limit for nodes; of a small one half at least. */
static uint64_t left_for_nodes(uint64_t most_bytes)
{
    return most_bytes > 2 * FIXED_BYTES ? most_bytes - FIXED_BYTES
                                        : most_bytes / 2;
}

static void make_pairs(struct room *room, const bool *trade)
{
    room->to_first = bdd_newpair();
    room->to_second = bdd_newpair();
    for (uint32_t i = 0; 2 * i + 1 < room->n_variables; i++) {
        int first = (int)(2 * i), second = first + 1;

        if (!trade[i])
            continue;
        bdd_setpair(room->to_first, second, first);
        bdd_setpair(room->to_second, first, second);
    }
}

/* The table doubles when it is used up, so that it costs what it holds. */
static void set_up(struct room *room)
{
    bdd_error_hook(on_error);
    bdd_gbc_hook(NULL);
    bdd_resize_hook(NULL);
    bdd_clear_error();
    bdd_setmaxincrease(MOST_NODES);
    bdd_setminfreenodes(FREE_PERCENT);
    bdd_setcacheratio(NODES_PER_ENTRY);
    bdd_setmaxnodenum((int)room->most_nodes);
    /* without a variable bdd_done frees what an earlier room had */
    bdd_setvarnum(room->n_variables ? (int)room->n_variables : 1);
}

static uint64_t first_nodes(uint64_t n_variables)
{
    uint64_t n = LEAST_NODES;

    while (n < MOST_FIRST_NODES && n < n_variables * NODES_PER_VARIABLE)
        n *= 2;
    while (n < n_variables * NODES_NEEDED)
        n *= 2;
    return n;
}

bool room_is_open(void)
{
    return bdd_isrunning() != 0;
}

struct room *room_open(uint32_t n_variables, const bool *trade,
                       uint64_t most_bytes)
{
    uint64_t most = MOST_NODES, first = first_nodes(n_variables);
    struct room *room;

    ENSURE(!room_is_open());
    if (most_bytes && most_bytes < bytes_of(most))
        most = left_for_nodes(most_bytes) / bytes_of(NODES_PER_ENTRY) *
               NODES_PER_ENTRY;
    if (most < LEAST_NODES ||
        most < (uint64_t)n_variables * NODES_NEEDED + PRIME_GAP)
        return NULL;
    if (first + PRIME_GAP > most)
        first = most - PRIME_GAP;
    room = calloc(1, sizeof *room);
    if (!room)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    if (bdd_init((int)first, (int)(first / NODES_PER_ENTRY)) != 0)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    ENSURE(bddfalse == SET_NONE && bddtrue == SET_ALL);
    room->n_variables = n_variables;
    room->most_nodes = most;
    set_up(room);
    make_pairs(room, trade);
    return room;
}

void room_close(struct room *room)
{
    if (!room)
        return;
    vec_release(&room->held);
    bdd_done(); /* the pairs with it */
    free(room);
}

struct room_use room_use(const struct room *room)
{
    return (struct room_use){
        .full = room->full,
        .bytes = bytes_of((uint64_t)bdd_getallocnum()) +
                 room->held.cap * sizeof *room->held.at,
        .nodes = (uint64_t)bdd_getnodenum(),
    };
}

/* When a node could not be made, the table had grown as far as it may, and
 * none is free any more: until the next sweep, which only a further operation
 * would make, none becomes free.  The last free node may also have been the
 * last one needed; that counts as full too. */
static set take(struct room *room, set made)
{
    if (bdd_getnodenum() >= bdd_getallocnum() &&
        (uint64_t)bdd_getallocnum() + PRIME_GAP > room->most_nodes)
        room->full = true;
    if (room->full)
        return SET_NONE;
    bdd_addref(made);
    vec_push(&room->held, made);
    return made;
}

set room_variable(struct room *room, uint32_t variable)
{
    ENSURE(variable < room->n_variables);
    return room->full ? SET_NONE : bdd_ithvar((int)variable);
}

set room_apply(struct room *room, enum room_operation operation, set a,
               set b)
{
    static const int operator_of[] = {bddop_and, bddop_or, bddop_xor,
                                      bddop_diff, bddop_biimp};

    if (room->full)
        return SET_NONE;
    return take(room, bdd_apply(a, b, operator_of[operation]));
}

set room_choose(struct room *room, set condition, set yes, set no)
{
    if (room->full)
        return SET_NONE;
    return take(room, bdd_ite(condition, yes, no));
}

/* BuDDy tells results of this operation apart by the lower bits of the
 * number of `away` alone. */
set room_and_open(struct room *room, set a, set b, set away)
{
    set both;

    if (room->full)
        return SET_NONE;
    if (away == SET_ALL)
        return room_apply(room, ROOM_AND, a, b);
    if (away < AWAY_NUMBERS)
        return take(room, bdd_appex(a, b, bddop_and, away));
    both = room_apply(room, ROOM_AND, a, b);
    return room->full ? SET_NONE : take(room, bdd_exist(both, away));
}

set room_trade(struct room *room, set a, bool to_second)
{
    if (room->full)
        return SET_NONE;
    return take(room, bdd_replace(a, to_second ? room->to_second
                                               : room->to_first));
}

size_t room_mark(const struct room *room)
{
    return room->held.n;
}

void room_leave(struct room *room, size_t mark, set *kept, size_t n)
{
    ENSURE(mark <= room->held.n);
    for (size_t i = 0; i < n && !room->full; i++)
        bdd_addref(kept[i]);
    while (room->held.n > mark)
        bdd_delref(room->held.at[--room->held.n]);
    for (size_t i = 0; i < n; i++)
        if (room->full)
            kept[i] = SET_NONE;
        else
            vec_push(&room->held, kept[i]);
}

void room_hold(struct room *room, set *place, set value)
{
    if (room->full)
        return;
    bdd_addref(value);
    bdd_delref(*place);
    *place = value;
}

struct room_look room_look(set a)
{
    ENSURE(a != SET_NONE && a != SET_ALL);
    return (struct room_look){(uint32_t)bdd_var(a), bdd_low(a),
                              bdd_high(a)};
}

uint32_t room_size(set a)
{
    return (uint32_t)bdd_nodecount(a);
}

/* bdd_support remembers how many variables an earlier room had. */
void room_reads(const struct room *room, set a, bool *reads)
{
    int *profile = a == SET_NONE || a == SET_ALL ? NULL : bdd_varprofile(a);

    if (a == SET_NONE || a == SET_ALL)
        return;
    if (!profile)
        base_fail(BASE_OUT_OF_MEMORY, "no memory left", __FILE__, __LINE__);
    for (uint32_t v = 0; v < room->n_variables; v++)
        reads[v] |= profile[v] != 0;
    free(profile);
}
