/* build.h - making expressions of the flat logic.
 *
 * All functions simplify: constants fold, neutral and absorbing operands
 * vanish, x AND NOT x, double negation, comparisons decided by ranges, ITE
 * with equal or constant branches, ITE under the same condition, and
 * contradictory comparisons of one value with constants within an AND.
 */
#ifndef KEEPCLEAR_LOGIC_BUILD_H
#define KEEPCLEAR_LOGIC_BUILD_H

#include "logic/apply.h" /* flat_apply: what the operators mean */
#include "logic/flat.h"

struct flat_builder;

/* Nodes live in the arena. */
struct flat_builder *flat_builder_new(struct arena *arena);
void flat_builder_free(struct flat_builder *builder);

const struct flat_node *flat_node(const struct flat_builder *builder,
                                  flat_expr expr);
uint32_t flat_builder_count(const struct flat_builder *builder);

flat_expr flat_const(struct flat_builder *builder, int64_t value);

/* A leaf with its range. */
flat_expr flat_leaf(struct flat_builder *builder, enum flat_op op,
                    uint32_t index, int64_t low, int64_t high);

flat_expr flat_not(struct flat_builder *builder, flat_expr a);

/* FLAT_AND .. FLAT_MEET; operands of commutative ones are ordered. */
flat_expr flat_binary(struct flat_builder *builder, enum flat_op op,
                      flat_expr a, flat_expr b);

flat_expr flat_ite(struct flat_builder *builder, flat_expr condition,
                   flat_expr then_value, flat_expr else_value);

/* Rewrites count roots in one pass: nodes for which replace (indexed by
 * expression, FLAT_NONE: keep; n_replace of them) has an entry become that
 * entry, everything above is rebuilt and simplified. */
void flat_substitute(struct flat_builder *builder, const flat_expr *replace,
                     uint32_t n_replace, flat_expr *roots, uint32_t count);

/* The same; afterwards each node below n_replace that was looked at has what
 * it became as its entry, so that the next call on what lies above goes on
 * from there. */
void flat_substitute_noting(struct flat_builder *builder, flat_expr *replace,
                            uint32_t n_replace, flat_expr *roots,
                            uint32_t count);

/* The builder's nodes as an array; valid until the next node is made. */
const struct flat_node *flat_nodes(const struct flat_builder *builder);

#endif
