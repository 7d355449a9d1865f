/* straight.h - values of a scan with all its choices decided, worked out node
 * by node without asking what is known.
 *
 * For sections that read few choices: then all their combinations cost less
 * than deciding only what is read.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_STRAIGHT_H
#define KEEPCLEAR_ENGINE_TILES_STRAIGHT_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct plan;

struct straight_node {
    uint32_t op, a, b, c, to; /* enum flat_op; numbers of nodes */
};

struct straight {
    const struct plan *plan;
    int64_t *value; /* per node */
    /* nodes in order: those that read no choice, and those that do */
    struct straight_node *fixed, *open;
    uint32_t n_fixed, n_open;
};

/* Lies in the arena; plan: without assumptions, ends and watches. */
struct straight *straight_new(struct arena *arena, const struct plan *plan);

/* Values of cells, by their numbers. */
void straight_load(struct straight *s, const int64_t *cells);

/* Decides a choice; all must be decided before straight_work. */
void straight_decide(struct straight *s, uint32_t row, uint32_t index);

/* Works out what depends on choices; it may be done again after deciding
 * otherwise. */
void straight_work(struct straight *s);

#endif
