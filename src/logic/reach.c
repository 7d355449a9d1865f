#include "logic/reach.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "logic/table.h"

void reach_init(struct reach *reach, const struct forms *forms)
{
    struct arena *arena = forms->arena;
    const struct flat *flat = forms->flat;

    *reach = (struct reach){.forms = forms};
    reach->cell = arena_array(arena, flat->n_cells, sizeof(bool));
    reach->choice = arena_array(arena, flat->n_choices, sizeof(bool));
    reach->met = arena_array(arena, forms->table->n, sizeof(uint32_t));
}

void reach_release(struct reach *reach)
{
    vec_release(&reach->todo);
}

static void push(struct reach *reach, flat_expr expr)
{
    if (expr == FLAT_NONE || reach->met[expr])
        return;
    reach->met[expr] = 1;
    vec_push(&reach->todo, expr);
}

static void push_root(struct reach *reach, uint32_t root)
{
    push(reach, reach->forms->first[root]);
    push(reach, reach->forms->next[root]);
}

/* Roots of cells stand first, so that a cell's number is its root's. */
static void walk(struct reach *reach)
{
    while (reach->todo.n) {
        flat_expr expr = reach->todo.at[--reach->todo.n];
        const struct flat_node *node = &reach->forms->table->nodes[expr];

        switch (node->op) {
        case FLAT_CONST:
            break;
        case FLAT_CELL:
            if (!reach->cell[node->a])
                push_root(reach, node->a);
            reach->cell[node->a] = true;
            break;
        case FLAT_CHOICE:
            reach->choice[node->a] = true;
            break;
        default:
            ENSURE(node->op != FLAT_HOLE);
            push(reach, node->a);
            push(reach, node->b);
            push(reach, node->c);
        }
    }
}

void reach_add(struct reach *reach, uint32_t root)
{
    push_root(reach, root);
    walk(reach);
}

void reach_add_cell(struct reach *reach, uint32_t cell)
{
    push(reach, reach->forms->leaf[cell]);
    walk(reach);
}
