#include "logic/filled.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "logic/bounds.h"
#include "logic/build.h"
#include "logic/present.h"
#include "logic/table.h"

/* What is being made. */
struct making {
    struct arena *arena; /* of the result */
    struct filled *made;
    struct flat_builder *table;
    const struct flat *flat;
    const struct slice_request *request;
    uint32_t n_roots;
    flat_expr *first, *next, *leaf;
    struct range *range;
};

/* What leaves are replaced by, per node, in one of the two forms. */
struct filling {
    flat_expr *by;
    uint32_t n;
};

bool filled_may_occur(const struct slice_request *request, uint32_t cause)
{
    for (uint32_t i = 0; i < request->n_forbidden; i++)
        if (request->forbidden[i].n == 1 &&
            request->forbidden[i].causes[0] == cause)
            return false;
    return request->faults > 0 &&
           (!request->allowed || request->allowed[cause]);
}

static flat_expr *fill_none(struct arena *arena, uint32_t n)
{
    flat_expr *at = arena_array(arena, n, sizeof *at);

    for (uint32_t i = 0; i < n; i++)
        at[i] = FLAT_NONE;
    return at;
}

static void list_roots(struct making *f)
{
    const struct flat *flat = f->flat;
    flat_expr *root;

    f->n_roots = flat->n_cells + flat->n_assumptions + flat->n_motions;
    root = f->next = arena_array(f->arena, f->n_roots, sizeof *root);
    for (uint32_t i = 0; i < flat->n_cells; i++)
        *root++ = flat->cells[i].next;
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        *root++ = flat->assumptions[i].condition;
    for (uint32_t i = 0; i < flat->n_motions; i++)
        *root++ = flat->motions[i].moved;
    f->first = arena_array(f->arena, f->n_roots, sizeof *root);
    if (f->n_roots)
        memcpy(f->first, f->next, f->n_roots * sizeof *root);
}

static void list_leaves(struct making *f)
{
    const struct flat *flat = f->flat;

    f->leaf = fill_none(f->arena, flat->n_cells);
    f->range = arena_array(f->arena, flat->n_cells, sizeof *f->range);
    for (uint32_t i = 0; i < flat->n_cells; i++) {
        f->range[i].low = flat->cells[i].low;
        f->range[i].high = flat->cells[i].high;
        f->leaf[i] = flat_leaf(f->table, FLAT_CELL, i, f->range[i].low,
                               f->range[i].high);
    }
}

/* ---- holes ---- */

/* What has occurred and what is present now, per cause and per fault. */
struct facts_now {
    flat_expr *occurred, *present;
    bool first;
};

static flat_expr before(const struct making *f, uint32_t cell, bool first)
{
    return first ? f->flat->cells[cell].initial : f->leaf[cell];
}

static flat_expr fault_row(struct making *f, uint32_t row, bool first_only,
                           bool first)
{
    return first_only && !first
               ? flat_const(f->table, 0)
               : flat_leaf(f->table, FLAT_CHOICE, row, 0, 1);
}

/* Those whose causes all count here; their numbers are places among the
 * counted. */
static void fill_forbidden(struct making *f, const uint32_t *place,
                           struct occurring_limits *limits)
{
    const struct slice_request *r = f->request;
    struct cause_set *sets =
        arena_array(f->arena, r->n_forbidden, sizeof *sets);

    limits->forbidden = sets;
    for (uint32_t i = 0; i < r->n_forbidden; i++) {
        uint32_t n = r->forbidden[i].n;
        uint32_t *causes = arena_array(f->arena, n, sizeof *causes);
        bool all = true;

        for (uint32_t k = 0; k < n; k++) {
            causes[k] = place[r->forbidden[i].causes[k]];
            all = all && causes[k] != FLAT_NONE;
        }
        if (all)
            sets[limits->n_forbidden++] = (struct cause_set){causes, n};
    }
}

static void fill_occurred(struct making *f, const bool *read,
                          const struct facts_now *now)
{
    const struct flat *flat = f->flat;
    struct occurring *causes =
        arena_array(f->arena, flat->n_causes, sizeof *causes);
    uint32_t *place = fill_none(f->arena, flat->n_causes), n = 0;
    struct occurring_limits limits = {0};

    for (uint32_t i = 0; i < flat->n_causes; i++) {
        const struct flat_cause *cause = &flat->causes[i];

        if (!filled_may_occur(f->request, i) || (read && !read[i]))
            continue;
        place[i] = n;
        causes[n].before = before(f, cause->cell, now->first);
        causes[n++].choice =
            fault_row(f, cause->choice, cause->first_only, now->first);
    }
    limits.most = read ? f->request->faults : n;
    if (read)
        fill_forbidden(f, place, &limits);
    present_count(f->table, causes, n, &limits);
    for (uint32_t i = 0; i < flat->n_causes; i++)
        now->occurred[i] = place[i] == FLAT_NONE
                               ? flat_const(f->table, 0)
                               : causes[place[i]].present;
}

static flat_expr fault_present(struct making *f, const struct flat_fault *fault,
                               const struct facts_now *now)
{
    struct appearing appearing = {
        .goes = fault->goes && f->request->n_studied == 0};

    if (fault->choice == FLAT_NONE)
        return fault->n_causes ? now->occurred[fault->causes[0]]
                               : flat_const(f->table, 0);
    appearing.enabled = flat_const(f->table, 0);
    for (uint32_t i = 0; i < fault->n_causes; i++)
        appearing.enabled =
            flat_binary(f->table, FLAT_OR, appearing.enabled,
                        now->occurred[fault->causes[i]]);
    if (table_is(f->table, appearing.enabled, 0))
        return appearing.enabled;
    appearing.before = before(f, fault->cell, now->first);
    appearing.choice =
        fault_row(f, fault->choice, fault->first_only, now->first);
    return present_appears(f->table, &appearing);
}

static void fill_faults(struct making *f, const bool *read,
                        const struct facts_now *now)
{
    fill_occurred(f, read, now);
    for (uint32_t i = 0; i < f->flat->n_faults; i++)
        now->present[i] = fault_present(f, &f->flat->faults[i], now);
}

/* Was a fault of the cause there at the previous judging? */
static flat_expr was_there(struct making *f, uint32_t cause, bool first)
{
    const struct flat *flat = f->flat;
    flat_expr any = flat_const(f->table, 0);

    for (uint32_t i = 0; i < flat->n_faults; i++) {
        const struct flat_fault *fault = &flat->faults[i];

        if (fault->n_causes == 0 || fault->causes[0] != cause)
            continue;
        any = flat_binary(f->table, FLAT_OR, any,
                          before(f, fault->cell == FLAT_NONE
                                        ? flat->causes[cause].cell
                                        : fault->cell, first));
    }
    return any;
}

static flat_expr all_studied(struct making *f, bool first)
{
    const struct slice_request *r = f->request;
    flat_expr all = flat_const(f->table, r->n_studied > 0);

    for (uint32_t i = 0; i < r->n_studied; i++)
        all = flat_binary(f->table, FLAT_AND, all,
                          was_there(f, r->studied[i], first));
    return all;
}

static void fill_leaves(struct making *f, struct filling *filling,
                        const struct facts_now *now)
{
    const struct flat *flat = f->flat;

    for (uint32_t i = 0; i < filling->n; i++) {
        const struct flat_node node = f->table->nodes[i];

        if (node.op == FLAT_CELL)
            filling->by[i] = before(f, node.a, now->first);
        if (node.op != FLAT_HOLE)
            continue;
        if (flat->hole_kind[node.a] == HOLE_FIRST)
            filling->by[i] = flat_const(f->table, now->first);
        if (flat->hole_kind[node.a] == HOLE_FAULT)
            filling->by[i] = now->present[flat->hole_index[node.a]];
        if (flat->hole_kind[node.a] == HOLE_STUDIED)
            filling->by[i] = all_studied(f, now->first);
        if (flat->hole_kind[node.a] == HOLE_CAUSE)
            filling->by[i] = now->occurred[flat->hole_index[node.a]];
    }
}

/* What HOLE_MAY and HOLE_MUST stand for, may and must one after the other;
 * their other holes are filled already. */
static flat_expr *movement_times(struct making *f,
                                 const struct filling *filling)
{
    const struct flat *flat = f->flat;
    uint32_t n = flat->n_movements;
    flat_expr *time = arena_array(f->arena, (size_t)n * 2, sizeof *time);

    for (uint32_t i = 0; i < n; i++) {
        bool free = f->request->free_times;

        time[i] = free ? flat_const(f->table, 1) : flat->timed_may[i];
        time[n + i] = free ? flat_const(f->table, 0) : flat->timed_must[i];
    }
    flat_substitute(f->table, filling->by, filling->n, time, 2 * n);
    return time;
}

static void fill_times(struct making *f, struct filling *filling,
                       const flat_expr *time)
{
    const struct flat *flat = f->flat;

    for (uint32_t i = 0; i < filling->n; i++) {
        const struct flat_node *node = &f->table->nodes[i];
        uint32_t index;

        if (node->op != FLAT_HOLE)
            continue;
        index = flat->hole_index[node->a];
        if (flat->hole_kind[node->a] == HOLE_MAY)
            filling->by[i] = time[index];
        if (flat->hole_kind[node->a] == HOLE_MUST)
            filling->by[i] = time[flat->n_movements + index];
    }
}

static void note_times(struct making *f, const flat_expr *time)
{
    uint32_t n = f->flat->n_movements;
    bool *timed = arena_array(f->arena, n, sizeof *timed);

    f->made->timed = timed;
    for (uint32_t i = 0; i < n; i++)
        timed[i] = !table_is(f->table, time[i], 1) ||
                   !table_is(f->table, time[n + i], 0);
}

/* The result: what became of each node that was looked at. */
static flat_expr *fill_roots(struct making *f, uint32_t n_nodes,
                             const bool *read, bool first)
{
    const struct flat *flat = f->flat;
    flat_expr *roots = first ? f->first : f->next;
    struct facts_now now = {
        arena_array(f->arena, flat->n_causes, sizeof(flat_expr)),
        arena_array(f->arena, flat->n_faults, sizeof(flat_expr)), first};
    struct filling filling = {fill_none(f->arena, n_nodes), n_nodes};
    const flat_expr *time;

    fill_faults(f, read, &now);
    fill_leaves(f, &filling, &now);
    time = movement_times(f, &filling);
    if (!first)
        note_times(f, time);
    fill_times(f, &filling, time);
    flat_substitute_noting(f->table, filling.by, n_nodes, roots, f->n_roots);
    for (uint32_t i = 0; i < flat->n_causes; i++)
        roots[flat->causes[i].cell] = now.occurred[i];
    for (uint32_t i = 0; i < flat->n_faults; i++)
        if (flat->faults[i].cell != FLAT_NONE)
            roots[flat->faults[i].cell] = now.present[i];
    return filling.by;
}

/* ---- values that can be stored ---- */

/* Bounds that are multiples of the unit; stored values are. */
static struct range in_units(struct range range, int64_t unit)
{
    int64_t low = range.low % unit, high = range.high % unit;

    if (unit <= 1)
        return range;
    low = low > 0 ? range.low - low + unit : range.low - low;
    high = high < 0 ? range.high - high - unit : range.high - high;
    return low <= high ? (struct range){low, high} : range;
}

static flat_expr narrowed(struct making *f, uint32_t cell)
{
    struct range range = f->range[cell];

    return range.low == range.high
               ? flat_const(f->table, range.low)
               : flat_leaf(f->table, FLAT_CELL, cell, range.low, range.high);
}

/* True when some cell can store less than was known. */
static bool narrow_once(struct making *f)
{
    uint32_t n_cells = f->flat->n_cells;
    struct bounds_cells cells = {n_cells, f->first, f->next, f->range};
    struct range *range = arena_array(f->arena, n_cells, sizeof *range);
    flat_expr *by = fill_none(f->arena, f->table->n);
    uint32_t n = f->table->n;
    bool changed = false;

    bounds_find(f->table, &cells, range);
    for (uint32_t i = 0; i < n_cells; i++) {
        flat_expr old = f->leaf[i];

        f->range[i] = in_units(range[i], f->flat->cells[i].unit);
        if (f->table->nodes[old].op != FLAT_CELL)
            continue;
        f->leaf[i] = narrowed(f, i);
        by[old] = f->leaf[i];
        changed = changed || f->leaf[i] != old;
    }
    if (changed) {
        flat_substitute_noting(f->table, by, n, f->next, f->n_roots);
        f->made->narrowed[f->made->n_narrowed++] = (struct rewrite){by, n};
    }
    return changed;
}

/* What is stored may be a value or, where that does not fit, the largest one
 * that does. */
static flat_expr before_cut(struct making *f, uint32_t cell)
{
    const struct flat_node node = f->table->nodes[f->next[cell]];
    flat_expr value = node.b, most = node.c, above;
    bool flipped;

    if (node.op != FLAT_ITE)
        return f->next[cell];
    flipped = table_is_const(f->table, node.b);
    if (flipped) {
        value = node.c;
        most = node.b;
    }
    if (!table_is_const(f->table, most) ||
        f->table->nodes[most].value < f->range[cell].high)
        return f->next[cell];
    above = flat_binary(f->table, FLAT_LT, most, value);
    return node.a == (flipped ? above : flat_not(f->table, above))
               ? value : f->next[cell];
}

static flat_expr *find_cuts(struct making *f)
{
    flat_expr *uncut = arena_array(f->arena, f->flat->n_cells, sizeof *uncut);

    for (uint32_t i = 0; i < f->flat->n_cells; i++)
        uncut[i] = before_cut(f, i);
    return uncut;
}

struct filled *filled_new(const struct flat_builder *builder,
                          const struct flat *flat,
                          const struct slice_request *request,
                          const bool *read)
{
    struct arena *arena = arena_new();
    struct filled *made = ARENA_NEW(arena, struct filled);
    struct making f = {.arena = arena, .made = made, .flat = flat,
                       .request = request, .table = flat_builder_new(arena)};

    made->arena = arena;
    made->table = f.table;
    made->n_nodes = builder->n;
    table_copy(f.table, builder);
    list_roots(&f);
    list_leaves(&f);
    made->by_first = fill_roots(&f, builder->n, read, true);
    made->by_next = fill_roots(&f, builder->n, read, false);
    while (made->n_narrowed < FILLED_NARROWINGS && narrow_once(&f))
        ;
    made->n_roots = f.n_roots;
    made->first = f.first;
    made->next = f.next;
    made->leaf = f.leaf;
    made->range = f.range;
    made->uncut = find_cuts(&f);
    return made;
}

void filled_free(struct filled *filled)
{
    if (!filled)
        return;
    flat_builder_free(filled->table);
    arena_free(filled->arena);
}
