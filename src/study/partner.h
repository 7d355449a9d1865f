/* partner.h - what of two versions of a control text is the same thing.
 *
 * Choice rows, inputs and outputs are partners by their names; where texts
 * name one thing differently, a list of pairs of names says so.  How a value
 * that is not followed comes out has a partner only where it is said in the
 * same words of inputs that are partners: then it comes out alike.
 */
#ifndef KEEPCLEAR_STUDY_PARTNER_H
#define KEEPCLEAR_STUDY_PARTNER_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct loaded;
struct model;
struct sources;

/* "old=new": names of variables, with or without what stands before the last
 * dot. */
struct renamed {
    const char *was, *is;
};

struct renames {
    const struct renamed *at;
    uint32_t n;
};

/* One version. */
struct version {
    const struct model *model;
    const struct sources *sources;
};

/* Per slot of the new version the slot of the old one that is its partner,
 * MODEL_NONE where there is none: control variables by name and type, those
 * of the review text by name alone. */
const uint32_t *partner_slots(struct arena *arena, const struct version *was,
                              const struct version *is,
                              const struct renames *renames);

/* Per choice row of the new version that of the old one, or MODEL_NONE. */
const uint32_t *partner_rows(struct arena *arena, const struct version *was,
                             const struct version *is, const uint32_t *slots);

/* Both models with rows that are partners having the same values in the same
 * order, those of both.  *why: NULL, or a sentence why that cannot be. */
void partner_align(struct arena *arena, const struct model **was,
                   const struct model **is, const uint32_t *rows,
                   const char **why);

#endif
