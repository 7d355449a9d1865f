/* infix.h - expressions as text: infix, fully in brackets, parts that are
 * used again numbered and written once. */
#ifndef KEEPCLEAR_LOGIC_INFIX_H
#define KEEPCLEAR_LOGIC_INFIX_H

#include "base/vec.h"
#include "logic/flat.h"

struct text;

struct infix {
    const struct flat_node *nodes;
    uint32_t n_nodes;
    VEC(uint32_t) uses;   /* per node: how often it is written or used */
    VEC(uint32_t) number; /* per node: FLAT_NONE or its number as a part */
    /* Adds the name of a leaf: a cell, a choice or a hole. */
    void (*add_leaf)(struct text *out, const void *context,
                     const struct flat_node *leaf);
    const void *context;
};

/* The nodes must outlive it. */
void infix_init(struct infix *infix, const struct flat_node *nodes,
                uint32_t n_nodes);
void infix_release(struct infix *infix);

/* Counts a use of a root; all roots must be counted before the parts. */
void infix_count(struct infix *infix, flat_expr root);

/* Writes the parts, one line each, and numbers them from 1. */
void infix_add_parts(struct infix *infix, struct text *out);

/* Writes an expression, a part by its number. */
void infix_add(const struct infix *infix, struct text *out, flat_expr expr);

#endif
