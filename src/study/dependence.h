/* dependence.h - what reads what in the texts of a review.
 *
 * Nodes are variables (of all instances), controls, contacts and sensors; an
 * arrow leads from what is read to what is given a value by it, in the
 * assignment itself or in a condition under which it runs.  Arrows follow
 * from the texts alone: that one is there does not say that it ever makes a
 * difference.  An array is one node.
 */
#ifndef KEEPCLEAR_STUDY_DEPENDENCE_H
#define KEEPCLEAR_STUDY_DEPENDENCE_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

struct arena;
struct code_pou;
struct model;

struct dependence_arrow {
    uint32_t from, to; /* nodes */
};

struct dependence {
    const struct model *model;
    uint32_t n_nodes;  /* slots, then controls, contacts, sensors */
    const struct dependence_arrow *arrows; /* by from, then to; each once */
    uint32_t n_arrows;
    const uint32_t *first;  /* per node and one more: its first arrow */
    const uint32_t *array;  /* per slot: the first one of its array, or
                               itself */
    /* Per slot: the first slot of the instance that it lies in, or
       MODEL_NONE, and the block; of a standard block, or of the outermost
       one that is none. */
    const uint32_t *standard, *block;
    const struct code_pou *const *standard_pou, *const *block_pou;
    const struct span *place; /* per slot: where it is first given a value */
    bool cut;          /* the texts are too large to be followed: no arrows */
};

uint32_t dependence_control(const struct model *model, uint32_t control);
uint32_t dependence_contact(const struct model *model, uint32_t contact);
uint32_t dependence_sensor(const struct model *model, uint32_t sensor);

/* Lies in the arena. */
const struct dependence *dependence_of(struct arena *arena,
                                       const struct model *model);

#endif
