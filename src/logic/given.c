#include "logic/given.h"

#include <stdlib.h>

#include "base/vec.h"
#include "logic/build.h"
#include "logic/table.h"

typedef VEC(flat_expr) exprs;

static void want(struct flat_builder *builder, exprs *todo, flat_expr expr,
                 flat_expr part)
{
    if (expr == FLAT_NONE || expr < part ||
        builder->met.at[expr] == builder->walk)
        return;
    builder->met.at[expr] = builder->walk;
    vec_push(todo, expr);
}

static int by_number(const void *a, const void *b)
{
    flat_expr left = *(const flat_expr *)a, right = *(const flat_expr *)b;

    return (left > right) - (left < right);
}

/* All that expr is made of and that may read the part: nodes before it cannot.
 * In ascending order, each after what it is made of. */
static void list_readers(struct flat_builder *builder, flat_expr expr,
                         flat_expr part, exprs *list)
{
    exprs todo = {0};

    table_walk(builder);
    want(builder, &todo, expr, part);
    while (todo.n) {
        flat_expr at = todo.at[--todo.n];
        const struct flat_node *node = &builder->nodes[at];

        vec_push(list, at);
        if (node->op <= FLAT_HOLE || at == part)
            continue;
        want(builder, &todo, node->a, part);
        want(builder, &todo, node->b, part);
        want(builder, &todo, node->c, part);
    }
    vec_release(&todo);
    qsort(list->at, list->n, sizeof *list->at, by_number);
}

static flat_expr became(const struct flat_builder *builder, flat_expr expr,
                        flat_expr part)
{
    return expr == FLAT_NONE || expr < part ? expr : builder->given.at[expr];
}

static flat_expr rebuilt(struct flat_builder *builder, flat_expr expr,
                         flat_expr part)
{
    const struct flat_node node = builder->nodes[expr];
    flat_expr a, b, c;

    if (node.op <= FLAT_HOLE)
        return expr;
    a = became(builder, node.a, part);
    b = became(builder, node.b, part);
    c = became(builder, node.c, part);
    if (a == node.a && b == node.b && c == node.c)
        return expr;
    if (node.op == FLAT_NOT)
        return flat_not(builder, a);
    if (node.op == FLAT_ITE)
        return flat_ite(builder, a, b, c);
    return flat_binary(builder, node.op, a, b);
}

/* As flat_substitute does it, but without a look at all other nodes there
 * are. */
flat_expr given_value(struct flat_builder *builder, flat_expr expr,
                      flat_expr part, int64_t value)
{
    flat_expr constant;
    exprs list = {0};

    if (expr < part)
        return expr;
    constant = flat_const(builder, value);
    list_readers(builder, expr, part, &list);
    if (builder->given.n < builder->n) {
        vec_reserve(&builder->given, builder->n);
        builder->given.n = builder->n;
    }
    for (size_t i = 0; i < list.n; i++)
        builder->given.at[list.at[i]] =
            list.at[i] == part ? constant
                               : rebuilt(builder, list.at[i], part);
    vec_release(&list);
    return builder->given.at[expr];
}

/* How many cells an expression reads. */
static uint32_t cells_read(struct flat_builder *builder, flat_expr expr)
{
    VEC(flat_expr) todo = {0};
    uint32_t n = 0;

    table_walk(builder);
    vec_push(&todo, expr);
    while (todo.n) {
        flat_expr at = todo.at[--todo.n];
        const struct flat_node node = builder->nodes[at];

        if (builder->met.at[at] == builder->walk)
            continue;
        builder->met.at[at] = builder->walk;
        n += node.op == FLAT_CELL;
        if (node.op <= FLAT_HOLE)
            continue;
        vec_push(&todo, node.a);
        if (node.b != FLAT_NONE)
            vec_push(&todo, node.b);
        if (node.c != FLAT_NONE)
            vec_push(&todo, node.c);
    }
    vec_release(&todo);
    return n;
}

/* The constant that a thing is compared with for equality; false: none. */
static bool is_equal_to(const struct flat_builder *builder, flat_expr test,
                        flat_expr *thing, int64_t *value)
{
    const struct flat_node node = builder->nodes[test];
    flat_expr constant = node.b;

    if (node.op != FLAT_EQ)
        return false;
    *thing = node.a;
    if (table_is_const(builder, *thing)) {
        *thing = node.b;
        constant = node.a;
    }
    *value = builder->nodes[constant].value;
    return table_is_const(builder, constant);
}

/* Parts of a condition that are put in; a longer AND is put in in part. */
enum { PARTS_MOST = 64 };

static flat_expr put_in(struct flat_builder *builder, flat_expr expr,
                        flat_expr part)
{
    flat_expr thing;
    int64_t value;

    if (builder->nodes[part].op == FLAT_NOT)
        return given_value(builder, expr, builder->nodes[part].a, 0);
    if (is_equal_to(builder, part, &thing, &value))
        return given_value(builder, expr, thing, value);
    return given_value(builder, expr, part, 1);
}

/* What a condition says is known part by part. */
struct known_parts {
    flat_expr at[PARTS_MOST];
    uint32_t n;
};

static struct known_parts parts_of(const struct flat_builder *builder,
                                   flat_expr condition)
{
    struct known_parts parts = {{0}, 0};
    flat_expr todo[PARTS_MOST] = {condition};
    uint32_t n = 1;

    while (n > 0 && parts.n < PARTS_MOST) {
        flat_expr at = todo[--n];
        const struct flat_node node = builder->nodes[at];

        if (node.op == FLAT_AND && n + 2 <= PARTS_MOST) {
            todo[n++] = node.b;
            todo[n++] = node.a;
        } else if (node.op != FLAT_CONST) {
            parts.at[parts.n++] = at;
        }
    }
    return parts;
}

/* Larger parts first: they would not be found any more with smaller ones put
 * into them.  A node has a higher number than what it is made of. */
static flat_expr put_in_all(struct flat_builder *builder, flat_expr expr,
                            flat_expr condition)
{
    struct known_parts parts = parts_of(builder, condition);

    while (parts.n > 0) {
        uint32_t largest = 0;

        for (uint32_t i = 1; i < parts.n; i++)
            if (parts.at[i] > parts.at[largest])
                largest = i;
        expr = put_in(builder, expr, parts.at[largest]);
        parts.at[largest] = parts.at[--parts.n];
    }
    return expr;
}

flat_expr given_condition(struct flat_builder *builder, flat_expr expr,
                          flat_expr condition)
{
    flat_expr made;

    if (table_is_const(builder, condition))
        return expr;
    made = flat_ite(builder, condition,
                    put_in_all(builder, expr, condition),
                    given_value(builder, expr, condition, 0));
    return cells_read(builder, made) < cells_read(builder, expr) ? made
                                                                 : expr;
}

flat_expr given_split(struct flat_builder *builder, flat_expr expr,
                      flat_expr test)
{
    flat_expr thing, made;
    int64_t value;

    if (!is_equal_to(builder, test, &thing, &value))
        return expr;
    made = flat_ite(builder, test,
                    given_value(builder, expr, thing, value),
                    given_value(builder, expr, test, 0));
    return cells_read(builder, made) < cells_read(builder, expr) ? made
                                                                 : expr;
}
