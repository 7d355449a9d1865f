#include "logic/carry.h"

#include <stddef.h>

static flat_expr carry_leaf(struct flat_builder *to,
                            const struct flat_node *node,
                            const uint32_t *cell)
{
    uint32_t index = node->a;

    if (node->op == FLAT_CELL && cell != NULL)
        index = cell[index];
    return flat_leaf(to, node->op, index, node->low, node->high);
}

static flat_expr carry_node(struct flat_builder *to,
                            const struct flat_node *node,
                            const uint32_t *cell, const flat_expr *image)
{
    switch (node->op) {
    case FLAT_CONST:
        return flat_const(to, node->value);
    case FLAT_CELL:
    case FLAT_CHOICE:
    case FLAT_HOLE:
        return carry_leaf(to, node, cell);
    case FLAT_NOT:
        return flat_not(to, image[node->a]);
    case FLAT_ITE:
        return flat_ite(to, image[node->a], image[node->b], image[node->c]);
    default:
        return flat_binary(to, node->op, image[node->a], image[node->b]);
    }
}

void carry(struct flat_builder *to, const struct flat_builder *from,
           const uint32_t *cell, flat_expr *image)
{
    uint32_t n = flat_builder_count(from);

    for (uint32_t i = 0; i < n; i++)
        image[i] = carry_node(to, flat_node(from, i), cell, image);
}
