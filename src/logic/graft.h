/* graft.h - the expressions of one flat logic, made again in the table of
 * another one.
 *
 * What both have in common is then one expression, because the table holds
 * equal ones once.
 */
#ifndef KEEPCLEAR_LOGIC_GRAFT_H
#define KEEPCLEAR_LOGIC_GRAFT_H

#include "logic/build.h"

struct graft {
    const struct flat *from;
    struct flat_builder *into;
    const flat_expr *cell;   /* per cell of from: what stands for it */
    const flat_expr *hole;   /* per hole of from */
    const uint32_t *choice;  /* per row of from: its number there */
};

/* Per node of from->nodes what it is there; lies in the arena. */
const flat_expr *graft_nodes(struct arena *arena, const struct graft *graft);

/* Marks per node what the expression reads, itself included; marks that are
 * there stay. */
void graft_mark(const struct flat_builder *builder, flat_expr expr,
                bool *marked);

#endif
