/* layout.h - how a state lies in words, and what is worth remembering.
 *
 * What no text can ever read again is kept at a fixed value, so that it does
 * not tell states apart.  That is decided from the text alone, once.
 */
#ifndef KEEPCLEAR_REFERENCE_LAYOUT_H
#define KEEPCLEAR_REFERENCE_LAYOUT_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

struct arena;

struct layout {
    uint32_t at[PLACE_KINDS]; /* first word of each kind of place */
    uint32_t words;
    const bool *hand_kept;    /* per control: some text asks for its past */
    const bool *command_kept; /* per actuator: PREVIOUS COMMANDED */
    const bool *slot_kept;    /* per slot; FALSE only for one that is sampled
                                 anew in every lit scan and whose past nobody
                                 reads */
    int64_t longest; /* ms at which the age of a timer saturates: no PT is
                        longer, and no ET tells more; INT64_MAX where that
                        is not known */
    bool beyond;     /* ET may go beyond PT */
    uint32_t most_args; /* arguments that can be in flight at a time */
};

/* Reads the model; the result lies in the arena. */
const struct layout *layout_new(struct arena *arena,
                                const struct model *model);

/* The word of a place. */
uint32_t layout_word(const struct layout *layout, struct place_id place);

/* The same, in short. */
uint32_t layout_at(const struct layout *layout, enum place_kind kind,
                   uint32_t index);

#endif
