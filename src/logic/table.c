#include "logic/table.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"

enum { FIRST_NODES = 256 };

static uint64_t hash_of(const struct flat_node *node)
{
    const uint64_t words[] = {
        node->op, (uint64_t)node->a << 32 | node->b, node->c,
        (uint64_t)node->value, (uint64_t)node->low, (uint64_t)node->high};

    return hash_words(words, sizeof words / sizeof *words);
}

static bool same(const struct flat_node *x, const struct flat_node *y)
{
    return x->op == y->op && x->a == y->a && x->b == y->b && x->c == y->c &&
           x->value == y->value && x->low == y->low && x->high == y->high;
}

/* The slot that holds the node, or the free one where it belongs. */
static uint32_t *find(struct flat_builder *table,
                      const struct flat_node *node)
{
    size_t mask = table->slots.n - 1;
    size_t i = hash_of(node) & mask;

    while (table->slots.at[i] != FLAT_NONE &&
           !same(&table->nodes[table->slots.at[i]], node))
        i = (i + 1) & mask;
    return &table->slots.at[i];
}

static void rehash(struct flat_builder *table, size_t n_slots)
{
    vec_clear(&table->slots);
    vec_reserve(&table->slots, n_slots);
    table->slots.n = n_slots;
    for (size_t i = 0; i < n_slots; i++)
        table->slots.at[i] = FLAT_NONE;
    for (uint32_t i = 0; i < table->n; i++)
        *find(table, &table->nodes[i]) = i;
}

static void grow(struct flat_builder *table)
{
    uint32_t cap = table->cap ? table->cap * 2 : FIRST_NODES;
    struct flat_node *nodes;

    ENSURE(cap > table->cap);
    nodes = arena_array(table->arena, cap, sizeof *nodes);
    if (table->n)
        memcpy(nodes, table->nodes, table->n * sizeof *nodes);
    table->nodes = nodes;
    table->cap = cap;
    rehash(table, (size_t)cap * 2);
}

flat_expr table_intern(struct flat_builder *table,
                       const struct flat_node *node)
{
    uint32_t *slot;

    ENSURE(node->low <= node->high);
    if (table->n == table->cap)
        grow(table);
    slot = find(table, node);
    if (*slot == FLAT_NONE) {
        *slot = table->n;
        table->nodes[table->n++] = *node;
    }
    return *slot;
}

void table_copy(struct flat_builder *table, const struct flat_builder *from)
{
    ENSURE(table->n == 0 && table->cap == 0);
    if (from->n == 0)
        return;
    table->cap = from->cap;
    table->n = from->n;
    table->nodes = arena_array(table->arena, table->cap,
                               sizeof *table->nodes);
    memcpy(table->nodes, from->nodes, from->n * sizeof *from->nodes);
    vec_reserve(&table->slots, from->slots.n);
    table->slots.n = from->slots.n;
    memcpy(table->slots.at, from->slots.at,
           from->slots.n * sizeof *from->slots.at);
}

struct range table_range(const struct flat_builder *table, flat_expr expr)
{
    if (expr == FLAT_NONE)
        return (struct range){0, 0};
    ENSURE(expr < table->n);
    return (struct range){table->nodes[expr].low, table->nodes[expr].high};
}

flat_expr table_make(struct flat_builder *table, enum flat_op op,
                     flat_expr a, flat_expr b, flat_expr c)
{
    struct range range = range_of(op, table_range(table, a),
                                  table_range(table, b),
                                  table_range(table, c));
    struct flat_node node = {op, a, b, c, 0, range.low, range.high};

    return table_intern(table, &node);
}

flat_expr table_const(struct flat_builder *table, int64_t value)
{
    struct flat_node node = {FLAT_CONST, FLAT_NONE, FLAT_NONE, FLAT_NONE,
                             value, value, value};

    return table_intern(table, &node);
}

bool table_is_const(const struct flat_builder *table, flat_expr expr)
{
    return table->nodes[expr].op == FLAT_CONST;
}

bool table_is(const struct flat_builder *table, flat_expr expr,
              int64_t value)
{
    return table_is_const(table, expr) && table->nodes[expr].value == value;
}

bool table_is_bool(const struct flat_builder *table, flat_expr expr)
{
    return table->nodes[expr].low >= 0 && table->nodes[expr].high <= 1;
}

void table_walk(struct flat_builder *table)
{
    size_t old = table->met.n;

    vec_reserve(&table->met, table->n);
    vec_reserve(&table->image, table->n);
    if (old < table->n)
        memset(table->met.at + old, 0,
               (table->n - old) * sizeof *table->met.at);
    if (table->met.n < table->n)
        table->met.n = table->image.n = table->n;
    if (++table->walk == 0) {
        memset(table->met.at, 0, table->met.n * sizeof *table->met.at);
        table->walk = 1;
    }
}
