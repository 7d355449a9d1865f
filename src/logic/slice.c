#include "logic/slice.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "logic/filled.h"
#include "logic/forms.h"
#include "logic/reach.h"
#include "logic/table.h"
#include "logic/ties.h"

/* Work on one slice. */
struct work {
    const struct flat_builder *builder;
    const struct flat *flat;
    const struct slice_request *request;
    struct forms *forms;
    struct reach reach;
    const struct ties *ties;
    bool *assumption; /* per assumption, per motion: it belongs to the slice */
    bool *motion;
};

/* ---- what belongs to the slice ---- */

static bool is_dropped(const struct slice_request *request, uint32_t i)
{
    return request->dropped && request->dropped[i];
}

/* Adds the assumptions that are tied to what is there; true when there were
 * any. */
static bool add_assumptions(struct work *w)
{
    bool added = false;

    for (uint32_t i = 0; i < w->flat->n_assumptions; i++) {
        if (w->assumption[i] || is_dropped(w->request, i) ||
            !ties_touch(w->ties, i, &w->reach))
            continue;
        w->assumption[i] = added = true;
        reach_add(&w->reach, w->forms->at_assumptions + i);
    }
    return added;
}

/* A motion belongs to a slice that reads its choice. */
static bool add_motions(struct work *w)
{
    bool added = false;

    for (uint32_t i = 0; i < w->flat->n_motions; i++) {
        if (w->motion[i] || !w->reach.choice[w->flat->motions[i].choice])
            continue;
        w->motion[i] = added = true;
        reach_add(&w->reach, w->forms->at_motions + i);
    }
    return added;
}

/* Everything asked for and, from an earlier look, found to belong to it;
 * then what is tied to it, to the fixed point. */
static void close_up(struct work *w)
{
    const struct forms *f = w->forms;
    bool more = true;

    for (uint32_t i = f->at_watches; i < f->n_roots; i++)
        reach_add(&w->reach, i);
    for (uint32_t i = 0; i < w->request->n_with_cells; i++)
        reach_add_cell(&w->reach, w->request->with_cells[i]);
    for (uint32_t i = 0; i < w->flat->n_assumptions; i++)
        if (w->assumption[i])
            reach_add(&w->reach, f->at_assumptions + i);
    for (uint32_t i = 0; i < w->flat->n_motions; i++)
        if (w->motion[i])
            reach_add(&w->reach, f->at_motions + i);
    while (more) {
        more = add_assumptions(w);
        more = add_motions(w) || more;
    }
}

static void open_forms(struct work *w, const bool *read)
{
    w->forms = forms_new(w->builder, w->flat, w->request, read);
    w->ties = ties_new(w->forms);
    reach_init(&w->reach, w->forms);
}

static void close_forms(struct work *w)
{
    reach_release(&w->reach);
    forms_free(w->forms);
}

/* Which causes of faults does the slice read?  The number of them. */
static uint32_t read_causes(const struct work *w, bool *read)
{
    const struct flat *flat = w->flat;
    uint32_t n = 0;

    for (uint32_t i = 0; i < flat->n_causes; i++) {
        read[i] = filled_may_occur(w->request, i) &&
                  (w->reach.choice[flat->causes[i].choice] ||
                   w->reach.cell[flat->causes[i].cell]);
        n += read[i];
    }
    return n;
}

/* A set counts where all its causes are in the slice. */
static bool forbids(const struct slice_request *request, const bool *read)
{
    for (uint32_t i = 0; i < request->n_forbidden; i++) {
        const struct cause_set *set = &request->forbidden[i];
        uint32_t n = 0;

        while (n < set->n && read[set->causes[n]])
            n++;
        if (n == set->n)
            return true;
    }
    return false;
}

/* Causes are counted among those that the slice reads, and these are known
 * only when it is closed: so it is closed first with causes that occur
 * freely, then, if counting makes a difference, again. */
static void find_extent(struct work *w, bool *read)
{
    open_forms(w, NULL);
    for (uint32_t i = 0; i < w->request->n_with_assumptions; i++)
        w->assumption[w->request->with_assumptions[i]] = true;
    close_up(w);
    if (read_causes(w, read) <= w->request->faults &&
        !forbids(w->request, read))
        return;
    close_forms(w);
    open_forms(w, read);
    close_up(w);
}

/* ---- the table of the slice ---- */

struct packing {
    struct arena *arena;
    const struct work *w;
    flat_expr *image;      /* per node of the forms: its new number */
    uint32_t *cell_number; /* per cell of the flat logic */
    struct flat_node *nodes;
    bool *used;
    uint32_t n;
};

static flat_expr renamed(const struct packing *p, flat_expr expr)
{
    return expr == FLAT_NONE ? FLAT_NONE : p->image[expr];
}

static void pack_node(struct packing *p, flat_expr expr)
{
    struct flat_node node = p->w->forms->table->nodes[expr];

    ENSURE(node.op != FLAT_HOLE);
    if (node.op == FLAT_CHOICE)
        p->used[node.a] = true;
    if (node.op == FLAT_CELL) {
        node.a = p->cell_number[node.a];
    } else if (node.op > FLAT_HOLE) {
        node.a = renamed(p, node.a);
        node.b = renamed(p, node.b);
        node.c = renamed(p, node.c);
    }
    p->image[expr] = p->n;
    p->nodes[p->n++] = node;
}

/* Everything that was met when closing up is needed, and nothing else. */
static void pack_nodes(struct packing *p)
{
    const struct work *w = p->w;
    uint32_t n_nodes = w->forms->table->n, n = 0;

    for (uint32_t i = 0; i < n_nodes; i++)
        n += w->reach.met[i];
    p->nodes = arena_array(p->arena, n, sizeof *p->nodes);
    p->used = arena_array(p->arena, w->flat->n_choices, sizeof *p->used);
    p->image = arena_array(w->forms->arena, n_nodes, sizeof *p->image);
    for (uint32_t i = 0; i < n_nodes; i++)
        if (w->reach.met[i])
            pack_node(p, i);
}

static uint32_t number_cells(struct packing *p)
{
    uint32_t n_cells = p->w->flat->n_cells, n = 0;

    p->cell_number =
        arena_array(p->w->forms->arena, n_cells, sizeof *p->cell_number);
    for (uint32_t i = 0; i < n_cells; i++)
        if (p->w->reach.cell[i])
            p->cell_number[i] = n++;
    return n;
}

static const struct slice_cell *pack_cells(struct packing *p, uint32_t n)
{
    const struct forms *f = p->w->forms;
    struct slice_cell *cells = arena_array(p->arena, n, sizeof *cells);
    struct slice_cell *at = cells;

    for (uint32_t i = 0; i < p->w->flat->n_cells; i++) {
        if (!p->w->reach.cell[i])
            continue;
        ENSURE(p->w->reach.met[f->leaf[i]]);
        *at++ = (struct slice_cell){
            i, f->range[i].low, f->range[i].high, p->w->flat->cells[i].unit,
            p->image[f->leaf[i]], p->image[f->first[i]],
            p->image[f->next[i]], p->image[f->uncut[i]]};
    }
    return cells;
}

static struct slice_root pack_root(const struct packing *p, uint32_t number,
                                   uint32_t root)
{
    return (struct slice_root){number, p->image[p->w->forms->first[root]],
                               p->image[p->w->forms->next[root]]};
}

/* Roots that are asked for in the request; numbers NULL: counted. */
static const struct slice_root *pack_asked(const struct packing *p,
                                           uint32_t at,
                                           const uint32_t *numbers,
                                           uint32_t n)
{
    struct slice_root *roots = arena_array(p->arena, n, sizeof *roots);

    for (uint32_t i = 0; i < n; i++)
        roots[i] = pack_root(p, numbers ? numbers[i] : i, at + i);
    return roots;
}

/* Roots that turned out to belong to the slice. */
static const struct slice_root *pack_found(const struct packing *p,
                                           uint32_t at, const bool *found,
                                           uint32_t of, uint32_t *n)
{
    struct slice_root *roots = arena_array(p->arena, of, sizeof *roots);

    *n = 0;
    for (uint32_t i = 0; i < of; i++)
        if (found[i])
            roots[(*n)++] = pack_root(p, i, at + i);
    return roots;
}

static void pack_roots(const struct packing *p, struct slice *slice)
{
    const struct work *w = p->w;
    const struct forms *f = w->forms;
    const struct slice_request *r = w->request;

    slice->n_watches = r->n_watches;
    slice->watches = pack_asked(p, f->at_watches, r->watches, r->n_watches);
    slice->n_ends = r->n_ends;
    slice->ends = pack_asked(p, f->at_ends, r->ends, r->n_ends);
    slice->n_values = r->n_values;
    slice->values = pack_asked(p, f->at_values, NULL, r->n_values);
    slice->assumptions =
        pack_found(p, f->at_assumptions, w->assumption,
                   w->flat->n_assumptions, &slice->n_assumptions);
    slice->motions = pack_found(p, f->at_motions, w->motion,
                                w->flat->n_motions, &slice->n_motions);
}

/* ---- do movement times count? ---- */

/* Marks what the original roots of the slice read, holes included. */
static void mark_originals(const struct work *w, bool *marked)
{
    const struct forms *f = w->forms;
    const struct flat *flat = w->flat;

    for (uint32_t i = 0; i < flat->n_cells; i++)
        if (w->reach.cell[i])
            marked[flat->cells[i].next] = true;
    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        if (w->assumption[i])
            marked[flat->assumptions[i].condition] = true;
    for (uint32_t i = 0; i < flat->n_motions; i++)
        if (w->motion[i])
            marked[flat->motions[i].moved] = true;
    for (uint32_t i = 0; i < w->request->n_watches; i++)
        marked[flat->watches[w->request->watches[i]].condition] = true;
    for (uint32_t i = 0; i < w->request->n_ends; i++)
        marked[flat->watches[w->request->ends[i]].condition] = true;
    for (uint32_t i = f->at_values; i < f->n_roots; i++)
        marked[w->request->values[i - f->at_values]] = true;
}

static bool is_timed_hole(const struct work *w, const struct flat_node *node)
{
    enum flat_hole kind;

    if (node->op != FLAT_HOLE)
        return false;
    kind = w->flat->hole_kind[node->a];
    return (kind == HOLE_MAY || kind == HOLE_MUST) &&
           w->forms->timed[w->flat->hole_index[node->a]];
}

static bool find_times(const struct work *w)
{
    const struct flat_node *nodes = w->builder->nodes;
    bool *marked = arena_array(w->forms->arena, w->builder->n,
                               sizeof *marked);

    mark_originals(w, marked);
    for (uint32_t i = w->builder->n; i-- > 0;) {
        if (!marked[i])
            continue;
        if (is_timed_hole(w, &nodes[i]))
            return true;
        if (nodes[i].op <= FLAT_HOLE)
            continue;
        marked[nodes[i].a] = true;
        if (nodes[i].b != FLAT_NONE)
            marked[nodes[i].b] = true;
        if (nodes[i].c != FLAT_NONE)
            marked[nodes[i].c] = true;
    }
    return false;
}

const struct slice *slice_build(struct arena *arena,
                                struct flat_builder *builder,
                                const struct flat *flat,
                                const struct slice_request *request)
{
    struct slice *slice = ARENA_NEW(arena, struct slice);
    struct arena *scratch = arena_new();
    struct work w = {.builder = builder, .flat = flat, .request = request};
    struct packing p = {.arena = arena, .w = &w};

    w.assumption = arena_array(scratch, flat->n_assumptions, sizeof(bool));
    w.motion = arena_array(scratch, flat->n_motions, sizeof(bool));
    find_extent(&w, arena_array(scratch, flat->n_causes, sizeof(bool)));
    slice->n_cells = number_cells(&p);
    pack_nodes(&p);
    slice->nodes = p.nodes;
    slice->n_nodes = p.n;
    slice->choices = flat->choices;
    slice->n_choices = flat->n_choices;
    slice->used = p.used;
    slice->cells = pack_cells(&p, slice->n_cells);
    pack_roots(&p, slice);
    slice->faults = request->faults;
    slice->has_times = find_times(&w);
    close_forms(&w);
    arena_free(scratch);
    return slice;
}

/* ---- assumptions outside ---- */

uint32_t slice_outside(struct flat_builder *builder, const struct flat *flat,
                       const struct slice *slice,
                       const struct slice_request *request, uint32_t *group)
{
    struct forms *forms = forms_new(builder, flat, request, NULL);
    uint32_t n;

    for (uint32_t i = 0; i < flat->n_assumptions; i++)
        group[i] = is_dropped(request, i) ? FLAT_NONE : 0;
    for (uint32_t i = 0; i < slice->n_assumptions; i++)
        group[slice->assumptions[i].number] = FLAT_NONE;
    n = ties_group(forms, group);
    forms_free(forms);
    return n;
}
