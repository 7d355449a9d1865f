/* testsheet.h - a commissioning test for the real machine: what is to be done
 * by hand, what must then be seen, and what cannot be tested so.
 */
#ifndef KEEPCLEAR_STUDY_TESTSHEET_H
#define KEEPCLEAR_STUDY_TESTSHEET_H

#include "study/byhand.h"
#include "study/handplay.h"

struct testsheet_setting {
    struct study_setting study; /* limits, who interrupts */
    uint32_t most_tried;        /* steps that are looked at per round, 0: as
                                   is usual */
};

struct testsheet {
    const struct model *model; /* with its decisions */
    enum explore_end end; /* not COMPLETE: nothing else counts */
    struct obligations obligations;
    const struct hand_sequence *sequences; /* round one first */
    const struct handplay *played;         /* each of them, by the reference
                                              interpreter, with usual
                                              answers */
    const uint32_t *start;  /* per sequence: of those answers */
    const bool *lively;     /* the same */
    uint32_t n_sequences;
    uint32_t n_dropped;     /* that could not be played: not on the sheet */
    const bool *left_out;   /* per control, as byhand.h */
    uint32_t tried, n_pairs; /* as byhand.h */
    bool gave_up, can_stand, from_power_up; /* as byhand.h */
    const char *internal_error; /* a sentence, or NULL: nothing else counts */
};

/* NULL when the model is beyond this version; diags then says why.  Lies in
 * the arena. */
const struct testsheet *testsheet_study(struct arena *arena,
                                        const struct model *model,
                                        const struct testsheet_setting *setting,
                                        struct diags *diags);

#endif
