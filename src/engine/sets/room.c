#include "engine/sets/room.h"

#include <bdd.h>
#include <setjmp.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "engine/sets/steps.h"

enum {
    LEAST_NODES = 1 << 12, MOST_FIRST_NODES = 1 << 17,
    NODES_PER_VARIABLE = 256, /* to begin with, so that little is swept */
    NODES_PER_PAIR = 3,       /* of variables: the same for large runs */
    NODES_NEEDED = 8,         /* per variable, for the variables alone */
    NODE_BYTES = 20,      /* of BuDDy 2.4 */
    NODES_PER_ENTRY = 4,  /* of each cache */
    CACHES = 6, ENTRY_BYTES = 24,
    FIXED_BYTES = 2 << 20, /* of the library */
    IDLE_PART = 12,
    FREE_PERCENT = 50,    /* less than this after a sweep: grow */
    ALWAYS_GROW = 99,
    SWEEPS = 2,           /* at one size, then grow */
    EASY_NODES = 1 << 22, /* beyond: grow only where little is free */
    AWAY_NUMBERS = 1 << 24,
    MOST_NODES = 1 << 30,
    PRIME_GAP = 1 << 10,  /* tables have a prime number of nodes */
    STEPS_PER_LOOK = 1 << 12,
    STEPS_PER_NODE = 64,  /* of the largest table, within one operation */
    STEPS_PER_EFFORT = 16 /* most runs take fewer for each node they make */
};

struct room {
    uint32_t n_variables;
    bool full;
    uint64_t most_nodes, reserved; /* reserved: bytes for others */
    int nodes, swept; /* when the table grew last: its size, all sweeps */
    bddPair *to_first, *to_second;
    VEC(set) held; /* what scopes hold */
    struct room_limits limits;
    bool inside;    /* an operation is under way; */
    uint64_t begun; /* steps when it began */
    uint64_t opened; /* steps when the room was opened */
    jmp_buf leave;  /* the way out of it */
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
    return (size_t)(nodes * NODE_BYTES +
                    nodes / NODES_PER_ENTRY * CACHES * ENTRY_BYTES);
}

/* What is left of a limit for nodes; of a small one half at least.  As tables
 * grow, a part of what the library had before lies idle. */
static uint64_t left_for_nodes(uint64_t most_bytes)
{
    return most_bytes > 3 * FIXED_BYTES
               ? most_bytes - FIXED_BYTES - most_bytes / IDLE_PART
               : most_bytes / 2;
}

static uint64_t nodes_within(uint64_t bytes)
{
    return bytes / bytes_of(NODES_PER_ENTRY) * NODES_PER_ENTRY;
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

/* ---- leaving an operation ---- */

static void leave_for_good(struct room *room)
{
    room->full = true;
    longjmp(room->leave, 1);
}

/* Between two steps all nodes are in order, and what an operation holds of its
 * own is begun afresh by the next one: it can be left there.  One that takes
 * many times as many steps as there may be nodes forgets results faster than
 * it needs them again: what it lacks is memory. */
static void on_steps(void *context)
{
    struct room *room = context;

    if (!room->inside)
        return;
    if (room->limits.stops && room->limits.stops(room->limits.context))
        leave_for_good(room);
    if (steps_passed())
        longjmp(room->leave, 1);
    if (room->limits.most_bytes &&
        (steps_made() - room->begun) / STEPS_PER_NODE > room->most_nodes)
        leave_for_good(room);
}

/* ---- opening and closing ---- */

/* The table doubles when it is used up, so that it costs what it holds, or
 * when it was swept often. */
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
    while (n < EASY_NODES && n < n_variables * n_variables * NODES_PER_PAIR)
        n *= 2;
    return n;
}

struct room *room_open(uint32_t n_variables, const bool *trade,
                       const struct room_limits *limits)
{
    static const struct room_limits none;
    uint64_t most_bytes = limits ? limits->most_bytes : 0;
    uint64_t most = MOST_NODES, first = first_nodes(n_variables);
    struct room *room;

    ENSURE(!bdd_isrunning());
    if (most_bytes && most_bytes < bytes_of(most))
        most = nodes_within(left_for_nodes(most_bytes));
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
    room->limits = limits ? *limits : none;
    room->n_variables = n_variables;
    room->most_nodes = most;
    room->opened = steps_made() + steps_looked();
    set_up(room);
    make_pairs(room, trade);
    steps_listen(on_steps, room, STEPS_PER_LOOK);
    return room;
}

void room_close(struct room *room)
{
    bool limited = room && room->limits.most_bytes;

    if (!room)
        return;
    vec_release(&room->held);
    steps_listen(NULL, NULL, 0);
    bdd_done(); /* the pairs with it */
    free(room);
    if (limited)
        arena_give_back(); /* others may need it within the same limit */
}

/* Nodes made; where many scans add little each, the steps in which they are
 * found again. */
static uint64_t effort_of(const struct room *room, const bddStat *stat)
{
    uint64_t made = (uint64_t)stat->produced;
    uint64_t found = (steps_made() + steps_looked() - room->opened) /
                     STEPS_PER_EFFORT;

    return made > found ? made : found;
}

struct room_use room_use(const struct room *room)
{
    uint64_t most = room->limits.most_bytes, left = 0;
    size_t bytes = bytes_of((uint64_t)bdd_getallocnum()) +
                   room->held.cap * sizeof *room->held.at;
    bddStat stat;

    bdd_stats(&stat);
    if (most)
        left = left_for_nodes(most) > bytes ? left_for_nodes(most) - bytes : 1;
    return (struct room_use){
        .full = room->full,
        .bytes = bytes,
        .left = left,
        .nodes = (uint64_t)bdd_getnodenum(),
        .effort = effort_of(room, &stat),
    };
}

/* The library takes no limit below what it has. */
void room_reserve(struct room *room, uint64_t bytes)
{
    uint64_t most = room->limits.most_bytes, nodes;

    if (most == 0 || bytes <= room->reserved || room->full)
        return;
    room->reserved = bytes;
    most = left_for_nodes(most);
    nodes = nodes_within(most > bytes ? most - bytes : 0);
    if (nodes <= (uint64_t)bdd_getallocnum())
        nodes = (uint64_t)bdd_getallocnum() + 1;
    if (nodes >= room->most_nodes)
        return;
    room->most_nodes = nodes;
    bdd_setmaxnodenum((int)nodes);
}

/* What is swept is gone from the caches too and must be found again.  Where
 * sweeps come again and again the work is large enough to pay for a larger
 * table, whatever is free afterwards: it grows with the next sweep. */
static void weigh_sweeps(struct room *room)
{
    bddStat stat;

    bdd_stats(&stat);
    if (stat.nodenum != room->nodes) {
        room->nodes = stat.nodenum;
        room->swept = stat.gbcnum;
    }
    bdd_setminfreenodes(stat.gbcnum - room->swept >= SWEEPS &&
                                stat.nodenum < EASY_NODES
                            ? ALWAYS_GROW : FREE_PERCENT);
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
    weigh_sweeps(room);
    bdd_addref(made);
    vec_push(&room->held, made);
    return made;
}

set room_variable(struct room *room, uint32_t variable)
{
    ENSURE(variable < room->n_variables);
    return room->full ? SET_NONE : bdd_ithvar((int)variable);
}

/* One operation of the library. */
struct job {
    enum { JOB_APPLY, JOB_CHOOSE, JOB_AND_OPEN, JOB_OPEN, JOB_TRADE } what;
    set a, b, c; /* JOB_APPLY: c is the operator */
    bddPair *pair;
};

static set carry_out(const struct job *job)
{
    switch (job->what) {
    case JOB_APPLY: return bdd_apply(job->a, job->b, job->c);
    case JOB_CHOOSE: return bdd_ite(job->a, job->b, job->c);
    case JOB_AND_OPEN: return bdd_appex(job->a, job->b, bddop_and, job->c);
    case JOB_OPEN: return bdd_exist(job->a, job->b);
    case JOB_TRADE: return bdd_replace(job->a, job->pair);
    }
    return SET_NONE;
}

static set operate(struct room *room, const struct job *job)
{
    set made;

    if (room->full || steps_passed())
        return SET_NONE;
    if (setjmp(room->leave)) {
        room->inside = false;
        return SET_NONE;
    }
    room->inside = true;
    room->begun = steps_made();
    made = carry_out(job);
    room->inside = false;
    return take(room, made);
}

set room_apply(struct room *room, enum room_operation operation, set a,
               set b)
{
    static const int operator_of[] = {bddop_and, bddop_or, bddop_xor,
                                      bddop_diff, bddop_biimp};
    const struct job job = {JOB_APPLY, a, b, operator_of[operation], NULL};

    return operate(room, &job);
}

set room_choose(struct room *room, set condition, set yes, set no)
{
    const struct job job = {JOB_CHOOSE, condition, yes, no, NULL};

    return operate(room, &job);
}

/* BuDDy tells results of this operation apart by the lower bits of the
 * number of `away` alone. */
set room_and_open(struct room *room, set a, set b, set away)
{
    const struct job job = {JOB_AND_OPEN, a, b, away, NULL};
    struct job open = {JOB_OPEN, SET_NONE, away, SET_NONE, NULL};

    if (away == SET_ALL)
        return room_apply(room, ROOM_AND, a, b);
    if (away < AWAY_NUMBERS)
        return operate(room, &job);
    open.a = room_apply(room, ROOM_AND, a, b);
    return operate(room, &open);
}

set room_trade(struct room *room, set a, bool to_second)
{
    const struct job job = {JOB_TRADE, a, SET_NONE, SET_NONE,
                            to_second ? room->to_second : room->to_first};

    return operate(room, &job);
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
    uint32_t size = (uint32_t)bdd_nodecount(a);

    steps_look(size);
    return size;
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
