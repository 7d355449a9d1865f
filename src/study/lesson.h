/* lesson.h - the logic of a whole machine, made ready to be run elsewhere:
 * one slice with all that a trainer's page shows.
 *
 * Any declared fault may appear, as many as there are; no question narrows
 * anything.
 */
#ifndef KEEPCLEAR_STUDY_LESSON_H
#define KEEPCLEAR_STUDY_LESSON_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/slice.h"
#include "lower/lower.h"

struct arena;
struct diags;
struct findings;
struct loaded;
struct model;
struct outing;
struct replay;
struct scenario_result;

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

/* A machine of the page. */
struct lesson_machine {
    const char *title;
    struct loaded *loaded;
    const struct lesson_logic *logic;
    struct outing *outing; /* before its first scan: what stands at
                                    rest, and where */
};

/* A sequence that is told, and can be walked through. */
struct lesson_story {
    uint32_t machine;
    const char *title;
    const struct findings *findings; /* of its replay: model and machine */
    const struct replay *replay;
    const struct scenario_result *played; /* NULL: it is none of a SCENARIO */
};

/* The value, among those that the slice knows, that stands for the one which
 * row `row` has at index `index` in `model`, a copy of the machine's model
 * that may have got further values. */
int64_t lesson_value(const struct lesson_logic *logic,
                     const struct model *model, uint32_t row, uint32_t index);

#endif
