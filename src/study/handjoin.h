/* handjoin.h - the sequences of a round, few and in the order of stations.
 *
 * Of all sequences that were written those are kept that show together what
 * all of them show (handcover.h).  An observation is: with the hands so and
 * the machine begun so, this move, and then these actuators on and those off.
 * One that begins with all hands at rest is done behind another one, without
 * anything made ready anew, where every step then shows no less.
 */
#ifndef KEEPCLEAR_STUDY_HANDJOIN_H
#define KEEPCLEAR_STUDY_HANDJOIN_H

#include <stdbool.h>
#include <stddef.h>

struct finder;

/* For the sequences from `first` on, all of the round that is being looked
 * at; before: per obligation, what earlier rounds reached. */
void handjoin_round(struct finder *finder, size_t first, const bool *before);

#endif
