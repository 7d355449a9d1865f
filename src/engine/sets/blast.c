#include "engine/sets/blast.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/sets/guard.h"
#include "engine/sets/scheme.h"
#include "engine/sets/number.h"
#include "logic/operands.h"
#include "logic/slice.h"

struct draft {
    const struct blast_form *form;
    struct calculator c; /* its arena is for what is let go */
    struct guard *guard;
    bool *read;          /* per node */
    struct number *number;
};

static bool is_constant(const struct flat_node *node)
{
    return node->op == FLAT_CONST || node->low == node->high;
}

/* ---- which nodes are read ---- */

static flat_expr root_of(const struct draft *d, const struct slice_root *r)
{
    return d->form->first ? r->first : r->next;
}

static void read_roots(struct draft *d, const struct slice_root *roots,
                       uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        d->read[root_of(d, &roots[i])] = true;
}

static flat_expr cell_root(const struct draft *d, uint32_t cell)
{
    const struct slice_cell *at = &d->form->slice->cells[cell];

    return d->form->first ? at->first : at->next;
}

/* Parents have larger numbers. */
static void mark_read(struct draft *d)
{
    const struct slice *s = d->form->slice;

    read_roots(d, s->assumptions, s->n_assumptions);
    read_roots(d, s->ends, s->n_ends);
    read_roots(d, s->watches, s->n_watches);
    for (uint32_t i = 0; i < s->n_cells; i++)
        d->read[cell_root(d, i)] = true;
    for (uint32_t i = s->n_nodes; i-- > 0;) {
        const struct flat_node *node = &s->nodes[i];
        flat_expr child[3] = {node->a, node->b, node->c};

        if (!d->read[i] || is_constant(node))
            continue;
        for (uint32_t k = 0; k < operands_count(node->op); k++) {
            ENSURE(child[k] < i);
            d->read[child[k]] = true;
        }
    }
}

/* ---- nodes ---- */

/* The variables of a field, and that it is never negative. */
static struct bits bits_of_field(struct draft *d, const struct field *f)
{
    struct bits made = {f->n ? f->n + 1 : 0, NULL};

    made.at = arena_array(d->c.arena, made.n, sizeof *made.at);
    for (uint32_t i = 0; i < f->n; i++)
        made.at[i] = room_variable(d->c.room, f->variable[i]);
    if (f->n)
        made.at[f->n] = SET_NONE;
    return made;
}

static struct number cell_leaf(struct draft *d, uint32_t cell)
{
    const struct slice_cell *at = &d->form->slice->cells[cell];
    struct number made = {at->low, at->unit, {0}, {at->low, at->high}};

    ENSURE(!d->form->first); /* nothing was stored before the first scan */
    made.bits = bits_of_field(d, &d->form->scheme->cells[cell]);
    return made.bits.n ? made : number_constant(at->low);
}

static struct number choice_leaf(struct draft *d, uint32_t row)
{
    const struct flat_choice *choice = &d->form->slice->choices[row];
    const uint32_t *fixed = d->form->fixed;
    const struct field *f = &d->form->scheme->rows[row];
    struct bits index;

    if (fixed && fixed[row] != FLAT_NONE)
        return number_constant(choice->values[fixed[row]]);
    ENSURE(choice->count > 0 && f->most == choice->count - 1);
    index = bits_of_field(d, f);
    return number_of_table(d->c, index, choice->values, choice->count);
}

static struct number junction(struct draft *d, const struct flat_node *node)
{
    struct room *room = d->c.room;
    set a = number_is_true(d->c, &d->number[node->a]), b = SET_ALL;

    if (node->op != FLAT_NOT)
        b = number_is_true(d->c, &d->number[node->b]);
    return number_truth(
        d->c, room_apply(room,
                         node->op == FLAT_AND  ? ROOM_AND
                         : node->op == FLAT_OR ? ROOM_OR
                                               : ROOM_XOR,
                         a, b));
}

static struct number inner(struct draft *d, const struct flat_node *node)
{
    const struct number *a = &d->number[node->a];
    const struct number *b = &d->number[node->b];
    struct range range = {node->low, node->high};

    switch (node->op) {
    case FLAT_NOT:
    case FLAT_AND:
    case FLAT_OR:
    case FLAT_XOR:
        return junction(d, node);
    case FLAT_EQ:
    case FLAT_LT:
    case FLAT_LE:
        return number_truth(d->c, number_relation(d->c, node->op, a, b));
    case FLAT_ITE:
        return number_choose(d->c, number_is_true(d->c, a), b,
                             &d->number[node->c], range);
    default:
        return number_arithmetic(d->c, node->op, a, b, range);
    }
}

static struct number number_of(struct draft *d, const struct flat_node *node)
{
    if (node->op == FLAT_CONST)
        return number_constant(node->value);
    if (node->low == node->high)
        return number_constant(node->low);
    if (node->op == FLAT_CELL)
        return cell_leaf(d, node->a);
    if (node->op == FLAT_CHOICE)
        return choice_leaf(d, node->a);
    ENSURE(node->op != FLAT_HOLE);
    return inner(d, node);
}

static void make_numbers(struct draft *d)
{
    const struct slice *s = d->form->slice;

    for (uint32_t i = 0; i < s->n_nodes && guard_passes(d->guard); i++) {
        size_t mark = room_mark(d->c.room);
        struct bits *bits = &d->number[i].bits;

        if (!d->read[i])
            continue;
        d->number[i] = number_of(d, &s->nodes[i]);
        room_leave(d->c.room, mark, bits->at, bits->n);
    }
}

/* ---- roots ---- */

static const set *truths(struct draft *d, struct arena *arena,
                         const struct slice_root *roots, uint32_t n)
{
    set *made = arena_array(arena, n, sizeof *made);

    for (uint32_t i = 0; i < n; i++)
        made[i] = number_is_true(d->c, &d->number[root_of(d, &roots[i])]);
    return made;
}

static void make_cells(struct draft *d, struct arena *arena,
                       struct blast *made)
{
    const struct slice *s = d->form->slice;
    set *fits = arena_array(arena, s->n_cells, sizeof *fits);

    made->cells = arena_array(arena, s->n_cells, sizeof *made->cells);
    for (uint32_t i = 0; i < s->n_cells; i++) {
        const struct slice_cell *cell = &s->cells[i];
        uint32_t n = d->form->scheme->cells[i].n;
        struct range range = {cell->low, cell->high};
        struct bits units = number_units(
            d->c, &d->number[cell_root(d, i)], range, cell->unit, &fits[i]);

        units = bits_resize(d->c, units, n);
        made->cells[i] = arena_array(arena, n, sizeof(set));
        if (n)
            memcpy(made->cells[i], units.at, n * sizeof(set));
    }
    made->fits = fits;
}

static void fill(struct draft *d, struct arena *arena, struct blast *made)
{
    const struct slice *s = d->form->slice;

    d->read = arena_array(d->c.arena, s->n_nodes, sizeof *d->read);
    d->number = arena_array(d->c.arena, s->n_nodes, sizeof *d->number);
    mark_read(d);
    make_numbers(d);
    if (!guard_passes(d->guard))
        return;
    made->assumptions = truths(d, arena, s->assumptions, s->n_assumptions);
    made->ends = truths(d, arena, s->ends, s->n_ends);
    made->watches = truths(d, arena, s->watches, s->n_watches);
    make_cells(d, arena, made);
}

const struct blast *blast_new(struct arena *arena, struct room *room,
                              struct guard *guard,
                              const struct blast_form *form)
{
    struct arena *scratch = arena_new();
    struct draft d = {.form = form, .c = {room, scratch}, .guard = guard};
    struct blast *made = ARENA_NEW(arena, struct blast);

    fill(&d, arena, made);
    arena_free(scratch);
    return made;
}
