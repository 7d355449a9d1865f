/* reach.h - what roots read, directly and through stored cells. */
#ifndef KEEPCLEAR_LOGIC_REACH_H
#define KEEPCLEAR_LOGIC_REACH_H

#include "base/vec.h"
#include "logic/forms.h"

struct reach {
    const struct forms *forms;
    bool *cell;       /* per cell: it is read */
    bool *choice;     /* per choice row: it is read */
    uint32_t *met;    /* per node: 1 when it was looked at */
    VEC(flat_expr) todo;
};

/* Empty; the forms must outlive it and get no further nodes.  Its arrays
 * lie in the arena of the forms. */
void reach_init(struct reach *reach, const struct forms *forms);
void reach_release(struct reach *reach);

/* Adds both forms of a root and everything that they read. */
void reach_add(struct reach *reach, uint32_t root);

/* Adds a cell, unless only one value can be stored in it, and everything that
 * its value after a scan reads. */
void reach_add_cell(struct reach *reach, uint32_t cell);

#endif
