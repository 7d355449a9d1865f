/* form.h - one form of a slice, the first scan or a later one, ready to be
 * asked about sets of situations. */
#ifndef KEEPCLEAR_ENGINE_SETS_FORM_H
#define KEEPCLEAR_ENGINE_SETS_FORM_H

#include "engine/sets/blast.h"
#include "engine/sets/relation.h"

struct form {
    const struct relation *step;  /* before, after: not where an end holds */
    const struct chain *image;    /* to the situations after the scan */
    const struct chain **watches; /* situations from where it can hold */
    const struct chain **ends;
    const struct chain *misfit;   /* from where a value would be moved */
    const struct chain **dead;    /* from where no input may fit, for one */
    uint32_t n_dead;              /* or another of these */
};

/* NULL in `watches` and `ends`, and for misfit, is what cannot be.  Lies in
 * the arena of the shop; means nothing once the guard does not pass. */
const struct form *form_new(struct workshop *shop,
                            const struct blast_form *what);

/* Watches, by their number within the slice, that hold or fail in a scan;
 * FLAT_NONE: whatever. */
struct form_where {
    uint32_t holds, fails, fails_too;
};

/* A scan, before and after, of one form, under such a condition; means
 * nothing once the guard does not pass. */
const struct relation *form_step(struct workshop *shop,
                                 const struct blast_form *what,
                                 const struct form_where *where);

/* What the assumptions allow, and an end holds. */
const struct relation *form_ended(struct workshop *shop,
                                  const struct blast_form *what);

/* The shop with other groups: only rows for which `open` is true are left
 * open.  What it points to lies in the scratch of the shop. */
struct workshop form_narrowed(const struct workshop *shop,
                              bool (*open)(const void *context, uint32_t row),
                              const void *context);

/* Per variable: does it stand for a cell before (after) the scan? */
bool *form_variables(struct arena *arena, const struct scheme *scheme,
                     bool after);

#endif
