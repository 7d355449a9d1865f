/* handturn.h - steps that turn something on, and the same steps elsewhere.
 */
#ifndef KEEPCLEAR_STUDY_HANDTURN_H
#define KEEPCLEAR_STUDY_HANDTURN_H

#include "study/handwrite.h"

struct turning {
    struct finder *finder;
    uint32_t node;             /* that the step leads to */
    uint32_t from;             /* where it begins */
    const struct hand_act *act;
};

/* The steps of this round that turn something on by controls away from rest,
 * and that a sequence shows, each once, in the order of effects; lies in the
 * study's arena. */
const struct turning *handturn_list(struct finder *finder, uint32_t *n);

bool handturn_is_on(const struct hand_expected *what);
bool handturn_is_off(const struct hand_expected *what);

/* Is all that the step turns on as it is asked? */
bool handturn_all(const struct turning *turning,
                  const struct hand_expected *expected,
                  bool (*asked)(const struct hand_expected *what));

/* What a step shows from there; NULL: it is not allowed. */
const struct hand_expected *handturn_shown(const struct turning *turning,
                                           const struct hand_stand *stand,
                                           const struct hand_act *act);

/* Would the step turn everything on from where a sequence is? */
bool handturn_works(const struct turning *turning,
                    const struct handwrite *writing);

/* Does a step move the control? */
bool handturn_moves(const struct hand_act *act, uint32_t control);

/* One control away from rest, from where it rests.  False: no step of this
 * kind, or the step that turns something on moves it itself. */
bool handturn_away(const struct turning *turning, uint32_t control,
                   uint32_t position, struct hand_act *away);

/* The steps from the beginning to the one that turns something on, and that
 * one; root: the node of the beginning. */
const struct hand_act *handturn_way(const struct turning *turning,
                                    uint32_t *n, uint32_t *root);

/* The way to where the step begins once more, of what is not there already;
 * false: it does not go, or turns on what the step does. */
bool handturn_again(const struct turning *turning, struct handwrite *writing);

#endif
