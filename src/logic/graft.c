#include "logic/graft.h"

#include "base/arena.h"
#include "base/ensure.h"

static flat_expr leaf(const struct graft *g, const struct flat_node *node)
{
    switch (node->op) {
    case FLAT_CONST: return flat_const(g->into, node->value);
    case FLAT_CELL: return g->cell[node->a];
    case FLAT_HOLE: return g->hole[node->a];
    default: break;
    }
    ENSURE(node->op == FLAT_CHOICE);
    return flat_leaf(g->into, FLAT_CHOICE, g->choice[node->a], node->low,
                     node->high);
}

static flat_expr remake(const struct graft *g, const flat_expr *image,
                        const struct flat_node *node)
{
    if (node->op == FLAT_NOT)
        return flat_not(g->into, image[node->a]);
    if (node->op == FLAT_ITE)
        return flat_ite(g->into, image[node->a], image[node->b],
                        image[node->c]);
    return flat_binary(g->into, node->op, image[node->a], image[node->b]);
}

const flat_expr *graft_nodes(struct arena *arena, const struct graft *graft)
{
    uint32_t n = graft->from->n_nodes;
    flat_expr *image = arena_array(arena, (size_t)n + 1, sizeof *image);

    for (uint32_t i = 0; i < n; i++) {
        const struct flat_node *node = &graft->from->nodes[i];

        image[i] = node->op <= FLAT_HOLE ? leaf(graft, node)
                                         : remake(graft, image, node);
    }
    return image;
}

void graft_mark(const struct flat_builder *builder, flat_expr expr,
                bool *marked)
{
    marked[expr] = true;
    for (flat_expr i = expr + 1; i-- > 0;) {
        const struct flat_node *node = flat_node(builder, i);

        if (!marked[i] || node->op <= FLAT_HOLE)
            continue;
        marked[node->a] = true;
        if (node->b != FLAT_NONE)
            marked[node->b] = true;
        if (node->c != FLAT_NONE)
            marked[node->c] = true;
    }
}
