#include "logic/known.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "logic/build.h"
#include "logic/operands.h"

/* Every node of the slice twice: its value, right where it is known, and
 * whether it is. */
struct twin {
    const struct slice *slice;
    struct flat_builder *b;
    flat_expr *value, *known;
    bool *doubted;       /* per cell: it has a companion */
    uint32_t *companion; /* per cell: its number */
    flat_expr no, yes;
};

static bool is_open(const struct flat_choice *choice)
{
    return choice->kind == FLAT_ANY && choice->count > 1;
}

bool known_leans(const struct slice *slice)
{
    for (uint32_t i = 0; i < slice->n_choices; i++)
        if (slice->used[i] && is_open(&slice->choices[i]))
            return true;
    return false;
}

/* ---- short names ---- */

static flat_expr both(struct twin *t, flat_expr x, flat_expr y)
{
    return flat_binary(t->b, FLAT_AND, x, y);
}

static flat_expr either(struct twin *t, flat_expr x, flat_expr y)
{
    return flat_binary(t->b, FLAT_OR, x, y);
}

static flat_expr but_not(struct twin *t, flat_expr x, flat_expr y)
{
    return both(t, x, flat_not(t->b, y));
}

/* ---- nodes ---- */

static void leaf(struct twin *t, uint32_t i, const struct flat_node *node)
{
    t->known[i] = t->yes;
    if (node->op == FLAT_CONST) {
        t->value[i] = flat_const(t->b, node->value);
        return;
    }
    if (node->op == FLAT_CHOICE && is_open(&t->slice->choices[node->a])) {
        t->value[i] = flat_const(t->b, t->slice->choices[node->a].values[0]);
        t->known[i] = t->no;
        return;
    }
    t->value[i] = flat_leaf(t->b, node->op, node->a, node->low, node->high);
    if (node->op == FLAT_CELL && t->doubted[node->a])
        t->known[i] = flat_leaf(t->b, FLAT_CELL, t->companion[node->a], 0, 1);
}

/* A side that is known and decides alone: FALSE of AND, TRUE of OR, 0 of a
 * product. */
static flat_expr decides(struct twin *t, enum flat_op op, flat_expr side)
{
    flat_expr value = t->value[side];

    if (op == FLAT_AND)
        value = flat_not(t->b, value);
    else if (op == FLAT_MUL)
        value = flat_binary(t->b, FLAT_EQ, value, flat_const(t->b, 0));
    return both(t, t->known[side], value);
}

static void two_sided(struct twin *t, uint32_t i,
                      const struct flat_node *node)
{
    flat_expr known = both(t, t->known[node->a], t->known[node->b]);

    if (node->op == FLAT_AND || node->op == FLAT_OR || node->op == FLAT_MUL)
        known = either(t, known,
                       either(t, decides(t, node->op, node->a),
                              decides(t, node->op, node->b)));
    t->known[i] = known;
    t->value[i] = flat_binary(t->b, node->op, t->value[node->a],
                              t->value[node->b]);
}

/* Where the condition is unknown, both branches must be known and equal. */
static void conditional(struct twin *t, uint32_t i,
                        const struct flat_node *node)
{
    flat_expr same = flat_binary(t->b, FLAT_EQ, t->value[node->b],
                                 t->value[node->c]);
    flat_expr any = both(t, same, both(t, t->known[node->b],
                                       t->known[node->c]));
    flat_expr one = flat_ite(t->b, t->value[node->a], t->known[node->b],
                             t->known[node->c]);

    t->known[i] = flat_ite(t->b, t->known[node->a], one, any);
    t->value[i] = flat_ite(t->b, t->value[node->a], t->value[node->b],
                           t->value[node->c]);
}

static void make_node(struct twin *t, uint32_t i)
{
    const struct flat_node *node = &t->slice->nodes[i];

    switch (operands_count(node->op)) {
    case 0:
        leaf(t, i, node);
        break;
    case 1:
        t->known[i] = t->known[node->a];
        t->value[i] = flat_not(t->b, t->value[node->a]);
        break;
    case 2:
        two_sided(t, i, node);
        break;
    default:
        conditional(t, i, node);
        break;
    }
}

/* ---- which cells can hold something unknown ---- */

static void number_companions(struct twin *t)
{
    uint32_t next = t->slice->n_cells;

    for (uint32_t i = 0; i < t->slice->n_cells; i++)
        t->companion[i] = t->doubted[i] ? next++ : FLAT_NONE;
}

static void make_nodes(struct twin *t, struct arena *arena)
{
    t->b = flat_builder_new(arena);
    t->no = flat_const(t->b, 0);
    t->yes = flat_const(t->b, 1);
    for (uint32_t i = 0; i < t->slice->n_nodes; i++)
        make_node(t, i);
}

static bool doubt_more(struct twin *t)
{
    bool more = false;

    for (uint32_t i = 0; i < t->slice->n_cells; i++) {
        const struct slice_cell *cell = &t->slice->cells[i];

        if (t->doubted[i] || (t->known[cell->first] == t->yes &&
                              t->known[cell->next] == t->yes))
            continue;
        t->doubted[i] = more = true;
    }
    return more;
}

/* Until no cell gets a companion any more: each round begins anew. */
static void make_twin(struct twin *t, struct arena *arena)
{
    const struct slice *s = t->slice;

    t->value = arena_array(arena, s->n_nodes + 1, sizeof *t->value);
    t->known = arena_array(arena, s->n_nodes + 1, sizeof *t->known);
    t->doubted = arena_array(arena, s->n_cells + 1, sizeof *t->doubted);
    t->companion = arena_array(arena, s->n_cells + 1, sizeof *t->companion);
    number_companions(t);
    make_nodes(t, arena);
    while (doubt_more(t)) {
        flat_builder_free(t->b);
        number_companions(t);
        make_nodes(t, arena);
    }
}

/* ---- the slice of it ---- */

struct packed {
    struct twin *t;
    struct arena *arena;
    struct slice *made;
    struct slice_cell *cells;
    flat_expr *image; /* per node of the builder: used, then its number */
};

/* Known and true. */
static flat_expr surely(struct twin *t, flat_expr expr)
{
    return both(t, t->known[expr], t->value[expr]);
}

/* True or unknown. */
static flat_expr perhaps(struct twin *t, flat_expr expr)
{
    return flat_not(t->b, but_not(t, t->known[expr], t->value[expr]));
}

static flat_expr as_it_is(struct twin *t, flat_expr expr)
{
    return t->value[expr];
}

static const struct slice_root *
make_roots(struct packed *p, const struct slice_root *roots, uint32_t n,
           flat_expr (*form)(struct twin *t, flat_expr expr))
{
    struct slice_root *made = arena_array(p->arena, n, sizeof *made);

    for (uint32_t i = 0; i < n; i++)
        made[i] = (struct slice_root){roots[i].number,
                                      form(p->t, roots[i].first),
                                      form(p->t, roots[i].next)};
    return made;
}

/* What is unknown is stored as one value that the cell can hold. */
static flat_expr stored(struct twin *t, const struct slice_cell *cell,
                        flat_expr expr)
{
    return flat_ite(t->b, t->known[expr], t->value[expr],
                    flat_const(t->b, cell->low));
}

static void make_cells(struct packed *p)
{
    const struct slice *s = p->t->slice;
    struct slice_cell *cells =
        arena_array(p->arena, 2 * (size_t)s->n_cells, sizeof *cells);
    uint32_t n = s->n_cells;

    for (uint32_t i = 0; i < s->n_cells; i++) {
        const struct slice_cell *cell = &s->cells[i];

        cells[i] = *cell;
        cells[i].node = flat_leaf(p->t->b, FLAT_CELL, i, cell->low,
                                  cell->high);
        cells[i].first = stored(p->t, cell, cell->first);
        cells[i].next = cells[i].uncut = stored(p->t, cell, cell->next);
        if (!p->t->doubted[i])
            continue;
        ENSURE(p->t->companion[i] == n);
        cells[n] = (struct slice_cell){
            cell->cell, 0, 1, 1, flat_leaf(p->t->b, FLAT_CELL, n, 0, 1),
            p->t->known[cell->first], p->t->known[cell->next],
            p->t->known[cell->next]};
        n++;
    }
    p->cells = cells;
    p->made->cells = cells;
    p->made->n_cells = n;
}

static void make_parts(struct packed *p, uint32_t watch)
{
    const struct slice *s = p->t->slice;
    struct slice *made = p->made;

    make_cells(p);
    made->n_assumptions = s->n_assumptions;
    made->assumptions =
        make_roots(p, s->assumptions, s->n_assumptions, surely);
    made->n_ends = s->n_ends;
    made->ends = make_roots(p, s->ends, s->n_ends, perhaps);
    made->n_watches = 1;
    made->watches = make_roots(p, &s->watches[watch], 1, surely);
    made->n_motions = s->n_motions;
    made->motions = make_roots(p, s->motions, s->n_motions, as_it_is);
    made->choices = s->choices;
    made->n_choices = s->n_choices;
    made->faults = s->faults;
    made->has_times = s->has_times;
}

/* ---- packing ---- */

static void mark_roots(struct packed *p, const struct slice_root *roots,
                       uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        p->image[roots[i].first] = p->image[roots[i].next] = 0;
}

static void mark_all(struct packed *p)
{
    const struct slice *made = p->made;

    for (uint32_t i = 0; i < flat_builder_count(p->t->b); i++)
        p->image[i] = FLAT_NONE;
    for (uint32_t i = 0; i < made->n_cells; i++) {
        p->image[made->cells[i].node] = 0;
        p->image[made->cells[i].first] = p->image[made->cells[i].next] = 0;
    }
    mark_roots(p, made->assumptions, made->n_assumptions);
    mark_roots(p, made->ends, made->n_ends);
    mark_roots(p, made->watches, made->n_watches);
    mark_roots(p, made->motions, made->n_motions);
    for (uint32_t i = flat_builder_count(p->t->b); i-- > 0;) {
        flat_expr operand[3];
        uint32_t n = operands_of(flat_node(p->t->b, i), operand);

        for (uint32_t k = 0; p->image[i] != FLAT_NONE && k < n; k++)
            p->image[operand[k]] = 0;
    }
}

static void number_nodes(struct packed *p)
{
    uint32_t count = flat_builder_count(p->t->b), n = 0;
    struct flat_node *nodes = arena_array(p->arena, count, sizeof *nodes);
    bool *used = arena_array(p->arena, p->made->n_choices + 1, sizeof *used);

    for (uint32_t i = 0; i < count; i++) {
        struct flat_node node = *flat_node(p->t->b, i);
        uint32_t operands = operands_count(node.op);

        if (p->image[i] == FLAT_NONE)
            continue;
        if (node.op == FLAT_CHOICE)
            used[node.a] = true;
        node.a = operands > 0 ? p->image[node.a] : node.a;
        node.b = operands > 1 ? p->image[node.b] : node.b;
        node.c = operands > 2 ? p->image[node.c] : node.c;
        p->image[i] = n;
        nodes[n++] = node;
    }
    p->made->nodes = nodes;
    p->made->n_nodes = n;
    p->made->used = used;
}

static void rename_roots(const struct packed *p,
                         const struct slice_root *roots, uint32_t n)
{
    struct slice_root *own = (struct slice_root *)roots; /* made above */

    for (uint32_t i = 0; i < n; i++) {
        own[i].first = p->image[own[i].first];
        own[i].next = p->image[own[i].next];
    }
}

static void pack(struct packed *p)
{
    mark_all(p);
    number_nodes(p);
    for (uint32_t i = 0; i < p->made->n_cells; i++) {
        p->cells[i].node = p->image[p->cells[i].node];
        p->cells[i].first = p->image[p->cells[i].first];
        p->cells[i].next = p->cells[i].uncut = p->image[p->cells[i].next];
    }
    rename_roots(p, p->made->assumptions, p->made->n_assumptions);
    rename_roots(p, p->made->ends, p->made->n_ends);
    rename_roots(p, p->made->watches, p->made->n_watches);
    rename_roots(p, p->made->motions, p->made->n_motions);
}

const struct slice *known_slice(struct arena *arena,
                                const struct slice *slice, uint32_t watch)
{
    struct arena *scratch = arena_new();
    struct twin twin = {.slice = slice};
    struct packed packed = {.t = &twin, .arena = arena};

    ENSURE(watch < slice->n_watches);
    packed.made = ARENA_NEW(arena, struct slice);
    make_twin(&twin, scratch);
    make_parts(&packed, watch);
    packed.image =
        arena_array(scratch, flat_builder_count(twin.b) + 1,
                    sizeof *packed.image);
    pack(&packed);
    flat_builder_free(twin.b);
    arena_free(scratch);
    return packed.made;
}
