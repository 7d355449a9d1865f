#include "engine/sets/relation.h"

#include <string.h>

#include "base/arena.h"
#include "engine/sets/guard.h"
#include "engine/sets/steps.h"

/* A part and what it reads. */
struct piece {
    set part;
    uint32_t size;
    bool *reads;  /* per variable */
    bool *groups; /* per group */
    bool gone;
};

struct draft {
    struct workshop *shop;
    struct piece *pieces;
    uint32_t n, cap;
    bool *late; /* per group: tried, and too large */
    uint32_t *list; /* pieces that read the group at hand */
};

static void add(struct draft *d, set part)
{
    struct workshop *shop = d->shop;
    struct piece *p = &d->pieces[d->n];

    if (part == SET_ALL)
        return;
    d->n++;
    *p = (struct piece){.part = part, .size = room_size(part)};
    p->reads = arena_array(shop->scratch, shop->n_variables, sizeof(bool));
    p->groups = arena_array(shop->scratch, shop->n_groups, sizeof(bool));
    room_reads(shop->room, part, p->reads);
    for (uint32_t v = 0; v < shop->n_variables; v++)
        if (p->reads[v] && shop->group[v] != UINT32_MAX)
            p->groups[shop->group[v]] = true;
}

set workshop_away(struct workshop *shop, const bool *which)
{
    set all = SET_ALL;

    for (uint32_t v = shop->n_variables; v-- > 0;)
        if (which[v])
            all = room_apply(shop->room, ROOM_AND,
                             room_variable(shop->room, v), all);
    return all;
}

/* ---- doing away with groups ---- */

static uint64_t price(const struct draft *d, uint32_t group, uint32_t *n)
{
    uint64_t sum = 0;

    *n = 0;
    for (uint32_t i = 0; i < d->n; i++)
        if (!d->pieces[i].gone && d->pieces[i].groups[group]) {
            sum += d->pieces[i].size;
            ++*n;
        }
    return sum;
}

/* UINT32_MAX: none is left. */
static uint32_t cheapest(const struct draft *d)
{
    uint32_t best = UINT32_MAX;
    uint64_t least = UINT64_MAX;

    for (uint32_t g = 0; g < d->shop->n_groups; g++) {
        uint32_t n;
        uint64_t sum = d->late[g] ? 0 : price(d, g, &n);

        if (d->late[g] || n == 0 || sum * n >= least)
            continue;
        least = sum * n;
        best = g;
    }
    return best;
}

/* Pieces of the group, smallest first. */
static uint32_t gather(struct draft *d, uint32_t group)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < d->n; i++) {
        uint32_t at = n;

        if (d->pieces[i].gone || !d->pieces[i].groups[group])
            continue;
        for (; at > 0 &&
               d->pieces[d->list[at - 1]].size > d->pieces[i].size;
             at--)
            d->list[at] = d->list[at - 1];
        d->list[at] = i;
        n++;
    }
    return n;
}

static set away_of_group(const struct draft *d, uint32_t group)
{
    set all = SET_ALL;

    for (uint32_t v = d->shop->n_variables; v-- > 0;)
        if (d->shop->group[v] == group)
            all = room_apply(d->shop->room, ROOM_AND,
                             room_variable(d->shop->room, v), all);
    return all;
}

/* All pieces of the list together without the group; false: too large. */
static bool join_all(struct draft *d, uint32_t group, uint32_t n, set *result)
{
    struct room *room = d->shop->room;
    set away = away_of_group(d, group), sum = SET_ALL;
    uint64_t apart = 0;

    for (uint32_t i = 0; i < n; i++)
        apart += d->pieces[d->list[i]].size;
    for (uint32_t i = 0; i < n; i++) {
        sum = room_and_open(room, sum, d->pieces[d->list[i]].part,
                            i + 1 < n ? SET_ALL : away);
        if (!guard_passes(d->shop->guard))
            return false;
        if (!d->shop->whole && room_size(sum) > apart &&
            room_size(sum) > d->shop->joined_most)
            return false;
    }
    *result = sum;
    return true;
}

/* What is too large shows in the steps, before it is there. */
static bool join(struct draft *d, uint32_t group, uint32_t n, set *result)
{
    bool joined;

    if (d->shop->whole)
        return join_all(d, group, n, result);
    steps_bind(d->shop->steps_most);
    joined = join_all(d, group, n, result);
    return steps_unbind() && joined;
}

/* Groups that would need at least the pieces of the list are late too. */
static void leave_late(struct draft *d, uint32_t n)
{
    for (uint32_t g = 0; g < d->shop->n_groups; g++) {
        bool needs = true;

        for (uint32_t i = 0; i < n; i++)
            needs &= d->pieces[d->list[i]].groups[g];
        d->late[g] |= needs;
    }
}

static void do_away(struct draft *d, uint32_t group)
{
    struct room *room = d->shop->room;
    size_t mark = room_mark(room);
    uint32_t n = gather(d, group);
    set joined;

    if (!join(d, group, n, &joined)) {
        room_leave(room, mark, NULL, 0);
        leave_late(d, n);
        return;
    }
    room_leave(room, mark, &joined, 1);
    for (uint32_t i = 0; i < n; i++)
        d->pieces[d->list[i]].gone = true;
    add(d, joined);
}

/* ---- a relation ---- */

static const struct relation *finish(const struct draft *d)
{
    struct workshop *shop = d->shop;
    struct relation *made = ARENA_NEW(shop->arena, struct relation);
    set *parts = arena_array(shop->arena, d->n, sizeof *parts);
    bool *late = arena_array(shop->arena, shop->n_variables, sizeof *late);

    for (uint32_t i = 0; i < d->n; i++) {
        const struct piece *p = &d->pieces[i];

        if (p->gone)
            continue;
        parts[made->n++] = p->part;
        for (uint32_t v = 0; v < shop->n_variables; v++)
            late[v] |= p->reads[v] && shop->group[v] != UINT32_MAX;
    }
    made->parts = parts;
    made->late = late;
    return made;
}

static struct draft draft_of(struct workshop *shop, const set *parts,
                             uint32_t n, uint32_t more)
{
    struct draft d = {.shop = shop};

    d.pieces = arena_array(shop->scratch, (size_t)n + more, sizeof *d.pieces);
    d.list = arena_array(shop->scratch, (size_t)n + more, sizeof *d.list);
    d.late = arena_array(shop->scratch, shop->n_groups, sizeof *d.late);
    for (uint32_t i = 0; i < n; i++)
        add(&d, parts[i]);
    return d;
}

const struct relation *relation_new(struct workshop *shop, const set *parts,
                                    uint32_t n)
{
    struct draft d = draft_of(shop, parts, n, shop->n_groups);
    uint32_t group;

    while (guard_passes(shop->guard) &&
           (group = cheapest(&d)) != UINT32_MAX)
        do_away(&d, group);
    return finish(&d);
}

/* ---- a chain ---- */

struct schedule {
    struct draft d;
    const bool *away;
    uint32_t *readers; /* per variable: pieces left that read it */
    bool *met;         /* per variable */
    uint32_t *first, *reader; /* per variable v: pieces that read it, from
                                 reader[first[v]] to before that of v + 1 */
    int *worth;        /* per piece */
    set *parts;
    bool **leave;      /* per place: variables left open there */
    uint32_t n;
};

static void list_readers(struct schedule *s)
{
    const struct draft *d = &s->d;
    uint32_t n_variables = d->shop->n_variables, n = 0;

    for (uint32_t i = 0; i < d->n; i++)
        for (uint32_t v = 0; v < n_variables; v++)
            s->readers[v] += d->pieces[i].reads[v];
    s->first = arena_array(d->shop->scratch, (size_t)n_variables + 1,
                           sizeof *s->first);
    for (uint32_t v = 0; v < n_variables; v++) {
        s->first[v] = n;
        n += s->readers[v];
    }
    s->first[n_variables] = n;
    s->reader = arena_array(d->shop->scratch, n, sizeof *s->reader);
    n = 0;
    for (uint32_t v = 0; v < n_variables; v++)
        for (uint32_t i = 0; i < d->n; i++)
            if (d->pieces[i].reads[v])
                s->reader[n++] = i;
}

/* Large where much can be left open and little is brought in. */
static int worth(const struct schedule *s, const struct piece *p)
{
    int worth = 0;

    for (uint32_t v = 0; v < s->d.shop->n_variables; v++) {
        if (!p->reads[v])
            continue;
        if (s->away[v] && s->readers[v] == 1)
            worth += 2;
        if (!s->away[v] && !s->met[v])
            worth -= 1;
    }
    return worth;
}

static void weigh_all(struct schedule *s)
{
    s->worth = arena_array(s->d.shop->scratch, s->d.n, sizeof *s->worth);
    for (uint32_t i = 0; i < s->d.n; i++)
        s->worth[i] = worth(s, &s->d.pieces[i]);
}

/* What is left and reads the variable becomes worth more. */
static void weigh(struct schedule *s, uint32_t variable, int more)
{
    for (uint32_t i = s->first[variable]; i < s->first[variable + 1]; i++)
        s->worth[s->reader[i]] += more;
}

static struct piece *next_piece(const struct schedule *s)
{
    struct piece *best = NULL;
    int most = 0;

    for (uint32_t i = 0; i < s->d.n; i++) {
        struct piece *p = &s->d.pieces[i];

        if (p->gone || (best && s->worth[i] <= most))
            continue;
        best = p;
        most = s->worth[i];
    }
    return best;
}

/* To the part before, if they stay small together. */
static bool cluster(struct schedule *s, const struct piece *p)
{
    struct room *room = s->d.shop->room;
    uint32_t most = s->d.shop->clustered_most;
    size_t mark = room_mark(room);
    set both;

    if (s->n == 0 || p->size > most ||
        room_size(s->parts[s->n - 1]) > most)
        return false;
    steps_bind(s->d.shop->steps_most);
    both = room_apply(room, ROOM_AND, s->parts[s->n - 1], p->part);
    if (!steps_unbind() || !guard_passes(s->d.shop->guard) ||
        room_size(both) > most) {
        room_leave(room, mark, NULL, 0);
        return false;
    }
    s->parts[s->n - 1] = both;
    return true;
}

static void append(struct schedule *s, struct piece *p)
{
    const struct workshop *shop = s->d.shop;

    p->gone = true;
    if (!cluster(s, p))
        s->parts[s->n++] = p->part;
    for (uint32_t v = 0; v < shop->n_variables; v++) {
        if (!p->reads[v])
            continue;
        if (!s->met[v] && !s->away[v])
            weigh(s, v, 1);
        s->met[v] = true;
        if (--s->readers[v] == 0 && s->away[v])
            s->leave[s->n][v] = true;
        else if (s->readers[v] == 1 && s->away[v])
            weigh(s, v, 2);
    }
}

static void arrange(struct schedule *s)
{
    const struct workshop *shop = s->d.shop;
    struct piece *p;

    for (uint32_t i = 0; i <= s->d.n; i++)
        s->leave[i] = arena_array(shop->scratch, shop->n_variables,
                                  sizeof *s->leave[i]);
    for (uint32_t v = 0; v < shop->n_variables; v++)
        s->leave[0][v] = s->away[v] && s->readers[v] == 0;
    while (guard_passes(shop->guard) && (p = next_piece(s)))
        append(s, p);
}

static const bool *all_away(struct workshop *shop,
                            const struct relation *relation,
                            const bool *away)
{
    bool *all = arena_array(shop->scratch, shop->n_variables, sizeof *all);

    for (uint32_t v = 0; v < shop->n_variables; v++)
        all[v] = relation->late[v] || (away && away[v]);
    return all;
}

const struct chain *relation_chain(struct workshop *shop,
                                   const struct relation *relation,
                                   const bool *away)
{
    struct chain *made = ARENA_NEW(shop->arena, struct chain);
    struct schedule s = {.d = draft_of(shop, relation->parts, relation->n,
                                       0)};
    size_t n = s.d.n;
    set *cubes = arena_array(shop->arena, n + 1, sizeof *cubes);

    s.away = all_away(shop, relation, away);
    s.readers = arena_array(shop->scratch, shop->n_variables,
                            sizeof *s.readers);
    s.met = arena_array(shop->scratch, shop->n_variables, sizeof *s.met);
    s.parts = arena_array(shop->arena, n, sizeof *s.parts);
    s.leave = arena_array(shop->scratch, n + 1, sizeof *s.leave);
    list_readers(&s);
    weigh_all(&s);
    arrange(&s);
    for (uint32_t i = 0; i <= s.n; i++)
        cubes[i] = workshop_away(shop, s.leave[i]);
    made->parts = s.parts;
    made->away = cubes;
    made->n = s.n;
    return made;
}

set chain_apply(struct workshop *shop, const struct chain *chain, set from)
{
    struct room *room = shop->room;
    size_t mark = room_mark(room);
    set at = room_and_open(room, from, SET_ALL, chain->away[0]);

    for (uint32_t i = 0; i < chain->n && at != SET_NONE; i++) {
        at = room_and_open(room, at, chain->parts[i], chain->away[i + 1]);
        if (!guard_passes(shop->guard))
            at = SET_NONE;
    }
    room_leave(room, mark, &at, 1);
    return at;
}
