/* table.h - the table behind a builder: equal nodes get the same number.
 *
 * Knows ranges, but no simplification: that is the work of the modules
 * above it.
 */
#ifndef KEEPCLEAR_LOGIC_TABLE_H
#define KEEPCLEAR_LOGIC_TABLE_H

#include "base/vec.h"
#include "logic/flat.h"
#include "logic/range.h"

struct arena;

struct flat_builder {
    struct arena *arena;
    struct flat_node *nodes; /* in the arena; doubles, the old ones stay */
    uint32_t n, cap;
    VEC(uint32_t) slots;     /* open addressing; FLAT_NONE: free */
    /* For walks: node i was met in walk `walk` when met.at[i] == walk, and
     * then image.at[i] is whatever the walk notes for it. */
    VEC(uint32_t) met;
    VEC(flat_expr) image;
    uint32_t walk;
    VEC(flat_expr) given; /* given.c's own: what became of a node */
};

/* The number of the node equal to *node, which is made when it is new. */
flat_expr table_intern(struct flat_builder *table,
                       const struct flat_node *node);

/* Makes an empty table hold the nodes of another, with their numbers. */
void table_copy(struct flat_builder *table, const struct flat_builder *from);

/* A node with its range computed; b and c are FLAT_NONE where unused. */
flat_expr table_make(struct flat_builder *table, enum flat_op op,
                     flat_expr a, flat_expr b, flat_expr c);

flat_expr table_const(struct flat_builder *table, int64_t value);

struct range table_range(const struct flat_builder *table, flat_expr expr);

/* Is it this constant? */
bool table_is(const struct flat_builder *table, flat_expr expr,
              int64_t value);

bool table_is_const(const struct flat_builder *table, flat_expr expr);

/* Are all its values 0 or 1? */
bool table_is_bool(const struct flat_builder *table, flat_expr expr);

/* Begins a walk over the nodes made so far. */
void table_walk(struct flat_builder *table);

#endif
