#include "logic/given.h"

#include "base/vec.h"
#include "logic/build.h"
#include "logic/table.h"

flat_expr given_value(struct flat_builder *builder, flat_expr expr,
                      flat_expr part, int64_t value)
{
    VEC(flat_expr) replace = {0};

    for (uint32_t i = 0; i <= part; i++)
        vec_push(&replace, FLAT_NONE);
    replace.at[part] = flat_const(builder, value);
    flat_substitute(builder, replace.at, part + 1, &expr, 1);
    vec_release(&replace);
    return expr;
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

flat_expr given_split(struct flat_builder *builder, flat_expr expr,
                      flat_expr test)
{
    const struct flat_node node = builder->nodes[test];
    flat_expr thing = node.a, constant = node.b, made;

    if (node.op != FLAT_EQ)
        return expr;
    if (table_is_const(builder, thing)) {
        thing = node.b;
        constant = node.a;
    }
    if (!table_is_const(builder, constant))
        return expr;
    made = flat_ite(builder, test,
                    given_value(builder, expr, thing,
                                builder->nodes[constant].value),
                    given_value(builder, expr, test, 0));
    return cells_read(builder, made) < cells_read(builder, expr) ? made
                                                                 : expr;
}
