#include "logic/build.h"

#include <stdlib.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "logic/arith.h"
#include "logic/choose.h"
#include "logic/compare.h"
#include "logic/junction.h"
#include "logic/relate.h"
#include "logic/table.h"

struct flat_builder *flat_builder_new(struct arena *arena)
{
    struct flat_builder *builder = ARENA_NEW(arena, struct flat_builder);

    builder->arena = arena;
    return builder;
}

void flat_builder_free(struct flat_builder *builder)
{
    if (!builder)
        return;
    vec_release(&builder->slots);
    vec_release(&builder->met);
    vec_release(&builder->image);
    vec_release(&builder->given);
}

const struct flat_node *flat_node(const struct flat_builder *builder,
                                  flat_expr expr)
{
    ENSURE(expr < builder->n);
    return &builder->nodes[expr];
}

const struct flat_node *flat_nodes(const struct flat_builder *builder)
{
    return builder->nodes;
}

uint32_t flat_builder_count(const struct flat_builder *builder)
{
    return builder->n;
}

flat_expr flat_const(struct flat_builder *builder, int64_t value)
{
    return table_const(builder, value);
}

flat_expr flat_leaf(struct flat_builder *builder, enum flat_op op,
                    uint32_t index, int64_t low, int64_t high)
{
    struct flat_node node = {op, index, FLAT_NONE, FLAT_NONE, 0, low, high};

    ENSURE(op == FLAT_CELL || op == FLAT_CHOICE || op == FLAT_HOLE);
    return table_intern(builder, &node);
}

flat_expr flat_not(struct flat_builder *builder, flat_expr a)
{
    ENSURE(a < builder->n);
    return relate_not(builder, a);
}

flat_expr flat_binary(struct flat_builder *builder, enum flat_op op,
                      flat_expr a, flat_expr b)
{
    ENSURE(a < builder->n && b < builder->n);
    switch (op) {
    case FLAT_AND:
    case FLAT_OR:
        return junction(builder, op, a, b);
    case FLAT_XOR:
        return junction_xor(builder, a, b);
    case FLAT_EQ:
    case FLAT_LT:
    case FLAT_LE:
        return compare(builder, op, a, b);
    default:
        return arith(builder, op, a, b);
    }
}

flat_expr flat_ite(struct flat_builder *builder, flat_expr condition,
                   flat_expr then_value, flat_expr else_value)
{
    ENSURE(condition < builder->n && then_value < builder->n &&
           else_value < builder->n);
    return choose(builder, condition, then_value, else_value);
}

/* ---- substitution ---- */

static bool is_leaf(enum flat_op op)
{
    return op <= FLAT_HOLE;
}

/* image[i]: FLAT_NONE where node i is not wanted, at the end what became of
 * it. */
static void want(const struct flat_node *nodes, flat_expr *image,
                 uint32_t count)
{
    for (uint32_t i = count; i-- > 0;) {
        const struct flat_node *node = &nodes[i];

        if (image[i] == FLAT_NONE || is_leaf(node->op))
            continue;
        image[node->a] = 0;
        if (node->b != FLAT_NONE)
            image[node->b] = 0;
        if (node->c != FLAT_NONE)
            image[node->c] = 0;
    }
}

static flat_expr rebuild(struct flat_builder *builder, flat_expr expr,
                         const flat_expr *image)
{
    const struct flat_node node = builder->nodes[expr];
    flat_expr a = image[node.a];
    flat_expr b = node.b == FLAT_NONE ? FLAT_NONE : image[node.b];
    flat_expr c = node.c == FLAT_NONE ? FLAT_NONE : image[node.c];

    if (a == node.a && b == node.b && c == node.c)
        return expr;
    if (node.op == FLAT_NOT)
        return flat_not(builder, a);
    if (node.op == FLAT_ITE)
        return flat_ite(builder, a, b, c);
    return flat_binary(builder, node.op, a, b);
}

struct replacing {
    const flat_expr *by;
    uint32_t n;
};

static flat_expr image_of(struct flat_builder *builder, flat_expr expr,
                          const struct replacing *replacing,
                          const flat_expr *image)
{
    if (expr < replacing->n && replacing->by[expr] != FLAT_NONE)
        return replacing->by[expr];
    return is_leaf(builder->nodes[expr].op) ? expr
                                            : rebuild(builder, expr, image);
}

/* What became of each node up to the last root: FLAT_NONE where nobody looked.
 * Free with vec_free. */
static flat_expr *rewritten(struct flat_builder *builder,
                            const struct replacing *replacing,
                            const flat_expr *roots, uint32_t count,
                            uint32_t *n_images)
{
    VEC(flat_expr) image = {0};
    uint32_t n = 0;

    for (uint32_t i = 0; i < count; i++) {
        ENSURE(roots[i] < builder->n);
        if (roots[i] >= n)
            n = roots[i] + 1;
    }
    vec_reserve(&image, (size_t)n + 1);
    for (uint32_t i = 0; i < n; i++)
        image.at[i] = FLAT_NONE;
    for (uint32_t i = 0; i < count; i++)
        image.at[roots[i]] = 0;
    want(builder->nodes, image.at, n);
    for (uint32_t i = 0; i < n; i++)
        if (image.at[i] != FLAT_NONE)
            image.at[i] = image_of(builder, i, replacing, image.at);
    *n_images = n;
    return image.at;
}

void flat_substitute(struct flat_builder *builder, const flat_expr *replace,
                     uint32_t n_replace, flat_expr *roots, uint32_t count)
{
    const struct replacing replacing = {replace, n_replace};
    uint32_t n;
    flat_expr *image = rewritten(builder, &replacing, roots, count, &n);

    for (uint32_t i = 0; i < count; i++)
        roots[i] = image[roots[i]];
    vec_free(image);
}

void flat_substitute_noting(struct flat_builder *builder, flat_expr *replace,
                            uint32_t n_replace, flat_expr *roots,
                            uint32_t count)
{
    const struct replacing replacing = {replace, n_replace};
    uint32_t n;
    flat_expr *image = rewritten(builder, &replacing, roots, count, &n);

    for (uint32_t i = 0; i < count; i++)
        roots[i] = image[roots[i]];
    for (uint32_t i = 0; i < n && i < n_replace; i++)
        if (image[i] != FLAT_NONE)
            replace[i] = image[i];
    vec_free(image);
}
