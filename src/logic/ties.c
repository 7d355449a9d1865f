#include "logic/ties.h"

#include "base/arena.h"
#include "base/vec.h"
#include "logic/reach.h"
#include "logic/table.h"

/* A walk over one root after the other; things are cells, then choices. */
struct walk {
    const struct forms *forms;
    VEC(flat_expr) todo;
    VEC(uint32_t) thing; /* what the last root reads */
};

struct list {
    uint32_t *thing;
    uint32_t n;
};

struct ties {
    const struct forms *forms;
    struct list *list; /* per assumption */
};

static void push(struct walk *walk, flat_expr expr)
{
    struct flat_builder *table = walk->forms->table;

    if (expr == FLAT_NONE || table->met.at[expr] == table->walk)
        return;
    table->met.at[expr] = table->walk;
    vec_push(&walk->todo, expr);
}

static bool ties_nothing(const struct forms *forms, uint32_t choice)
{
    enum flat_kind kind = forms->flat->choices[choice].kind;

    return kind == FLAT_TIME || kind == FLAT_POWER;
}

static void visit(struct walk *walk, const struct flat_node *node)
{
    if (node->op == FLAT_CELL)
        vec_push(&walk->thing, node->a);
    if (node->op == FLAT_CHOICE && !ties_nothing(walk->forms, node->a))
        vec_push(&walk->thing, walk->forms->flat->n_cells + node->a);
    if (node->op <= FLAT_HOLE)
        return;
    push(walk, node->a);
    push(walk, node->b);
    push(walk, node->c);
}

/* Lists what both forms of the root read directly. */
static void walk_root(struct walk *walk, uint32_t root)
{
    const struct forms *f = walk->forms;

    vec_clear(&walk->thing);
    table_walk(f->table);
    push(walk, f->first[root]);
    push(walk, f->next[root]);
    while (walk->todo.n) {
        flat_expr expr = walk->todo.at[--walk->todo.n];

        visit(walk, &f->table->nodes[expr]);
    }
}

static void walk_release(struct walk *walk)
{
    vec_release(&walk->todo);
    vec_release(&walk->thing);
}

const struct ties *ties_new(const struct forms *forms)
{
    struct ties *ties = ARENA_NEW(forms->arena, struct ties);
    uint32_t n = forms->flat->n_assumptions;
    struct walk walk = {.forms = forms};

    ties->forms = forms;
    ties->list = arena_array(forms->arena, n, sizeof *ties->list);
    for (uint32_t i = 0; i < n; i++) {
        struct list *list = &ties->list[i];

        walk_root(&walk, forms->at_assumptions + i);
        list->thing = arena_array(forms->arena, walk.thing.n,
                                  sizeof *list->thing);
        for (size_t k = 0; k < walk.thing.n; k++)
            list->thing[list->n++] = walk.thing.at[k];
    }
    walk_release(&walk);
    return ties;
}

bool ties_touch(const struct ties *ties, uint32_t assumption,
                const struct reach *reach)
{
    const struct list *list = &ties->list[assumption];
    uint32_t n_cells = ties->forms->flat->n_cells;

    for (uint32_t i = 0; i < list->n; i++) {
        uint32_t thing = list->thing[i];

        if (thing < n_cells ? reach->cell[thing]
                            : reach->choice[thing - n_cells])
            return true;
    }
    return false;
}

/* ---- groups ---- */

/* Sets of things and, behind them, assumptions: parent of each. */
static uint32_t top_of(uint32_t *parent, uint32_t i)
{
    while (parent[i] != i)
        i = parent[i] = parent[parent[i]];
    return i;
}

static void join(uint32_t *parent, uint32_t a, uint32_t b)
{
    a = top_of(parent, a);
    b = top_of(parent, b);
    parent[a < b ? b : a] = a < b ? a : b;
}

static void join_reads(struct walk *walk, uint32_t *parent, uint32_t who,
                       uint32_t root)
{
    walk_root(walk, root);
    for (size_t i = 0; i < walk->thing.n; i++)
        join(parent, who, walk->thing.at[i]);
}

/* Only cells that some assumption outside leads to tie anything. */
static void join_all(const struct forms *f, const uint32_t *group,
                     uint32_t *parent, uint32_t n_things)
{
    struct walk walk = {.forms = f};
    struct reach reach;

    reach_init(&reach, f);
    for (uint32_t i = 0; i < f->flat->n_assumptions; i++) {
        if (group[i] == FLAT_NONE)
            continue;
        reach_add(&reach, f->at_assumptions + i);
        join_reads(&walk, parent, n_things + i, f->at_assumptions + i);
    }
    for (uint32_t i = 0; i < f->flat->n_cells; i++)
        if (reach.cell[i])
            join_reads(&walk, parent, i, i);
    reach_release(&reach);
    walk_release(&walk);
}

uint32_t ties_group(const struct forms *forms, uint32_t *group)
{
    uint32_t n_things = forms->flat->n_cells + forms->flat->n_choices;
    uint32_t n_all = n_things + forms->flat->n_assumptions;
    VEC(uint32_t) parent = {0}, number = {0};
    uint32_t n = 0;

    for (uint32_t i = 0; i < n_all; i++) {
        vec_push(&parent, i);
        vec_push(&number, FLAT_NONE);
    }
    join_all(forms, group, parent.at, n_things);
    for (uint32_t i = 0; i < forms->flat->n_assumptions; i++) {
        uint32_t top;

        if (group[i] == FLAT_NONE)
            continue;
        top = top_of(parent.at, n_things + i);
        if (number.at[top] == FLAT_NONE)
            number.at[top] = n++;
        group[i] = number.at[top];
    }
    vec_release(&parent);
    vec_release(&number);
    return n;
}
