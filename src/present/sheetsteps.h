/* sheetsteps.h - the steps of a test sheet where what repeats is said once:
 * a station is a letter, the usual wait is left out, and an actuator is named
 * only where it is not as at rest.
 */
#ifndef KEEPCLEAR_PRESENT_SHEETSTEPS_H
#define KEEPCLEAR_PRESENT_SHEETSTEPS_H

#include <stdbool.h>
#include <stdint.h>

#include "present/byhandwords.h"

struct arena;

/* Per actuator: it is for sure on at the end of every sequence, with all
 * controls at rest.  What a step does not name is so, all else off.  Lies in
 * the arena. */
const bool *sheetsteps_rest(struct arena *arena,
                            const struct testsheet *sheet);

/* Titles of those, with commas; empty: there is none. */
void sheetsteps_rest_words(struct text *out, const struct testsheet *sheet,
                           const bool *rest);

/* A step in its sequence, from 0. */
struct sheetsteps_at {
    const struct hand_sequence *sequence;
    uint32_t step;
    const bool *rest; /* of sheetsteps_rest */
};

/* Control number i is the first one at its place; it has none: false. */
bool sheetsteps_is_station(const struct model *model, uint32_t control);

/* The letter of the control's station: "A", and behind Z "A2"; none without a
 * place. */
void sheetsteps_letter(struct text *out, const struct model *model,
                       uint32_t control);

/* "A", or "B+C". */
void sheetsteps_stations(struct text *out, const struct model *model,
                         const struct hand_step *step);

/* "hold left closing button"; where it is not the usual wait, that too. */
void sheetsteps_do(struct text *out, const struct byhand_view *view,
                   const struct hand_step *step);

/* What must be seen, a line each: what is other than in the step before, and
 * what is still so, with what is not judged.  Never both empty. */
void sheetsteps_must(struct text *changed, struct text *still,
                     const struct byhand_view *view,
                     const struct sheetsteps_at *at);

/* Names of the requirements that first come to bear in it. */
void sheetsteps_for(struct text *out, const struct testsheet *sheet,
                    const struct hand_step *step);

/* May something be on at the end that is not on at rest? */
bool sheetsteps_ends_on(const struct testsheet *sheet,
                        const struct hand_sequence *sequence,
                        const bool *rest);

#endif
