/* lesson.h - the logic of a whole machine, made ready to be run elsewhere:
 * one slice with all that a trainer's page shows.
 *
 * Any declared fault may appear, as many as there are; no question narrows
 * anything.
 */
#ifndef KEEPCLEAR_STUDY_LESSON_H
#define KEEPCLEAR_STUDY_LESSON_H

#include <stdint.h>

#include "logic/slice.h"
#include "lower/lower.h"

struct arena;
struct diags;
struct model;

/* Watches of the slice: the breach of each requirement, in their order, then
 * the error sites that can be reached at all, in the order of execution.  Its
 * values are those of flat->value (lower/lower.h). */
struct lesson_logic {
    const struct model *model;
    struct lowered *lowered;
    const struct slice *slice;
    uint32_t n_errors; /* of the watches */
};

/* NULL when something is beyond this version: diags says what.  Lies in the
 * arena; free with lesson_release. */
const struct lesson_logic *lesson_logic(struct arena *arena,
                                        const struct model *model,
                                        struct diags *diags);
void lesson_release(const struct lesson_logic *logic);

#endif
