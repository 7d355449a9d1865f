/* leans.h - on what the outcome of one scan leans.
 *
 * A scan is run with an observer, and what it did is followed back: through
 * expressions (an AND with a FALSE side leans on that side alone), through
 * the branches that were taken and those that were not, through blocks,
 * lines, commands and movements, to the choices of this scan and the words of
 * the state before it.  What is named is enough: every scan from a state with
 * the same values in the words named, with the same value in the choices
 * named, has the same outcome, whatever all others are.  More may be named
 * than need be.
 *
 * Not named are the words that hold faults and whether it was dark; whoever
 * asks keeps them.  Asked about are lit scans in which no fault appears, none
 * of them the first of all.
 */
#ifndef KEEPCLEAR_REFERENCE_LEANS_H
#define KEEPCLEAR_REFERENCE_LEANS_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/leanset.h"
#include "reference/machine.h"

struct arena;

struct leans;

/* For requirement number `requirement` of the machine's model, whose form is
 * POSSIBLE AGAIN.  Lies in the arena; leans_release when it is done.  NULL:
 * the texts cannot be followed (targets.h). */
struct leans *leans_new(struct arena *arena, struct machine *machine,
                        uint32_t requirement);
void leans_release(struct leans *leans);

/* Bit i of a set is choice row i, bit n_choices + w is word w of a state.
 * Sets are valid until the next scan; so many words each. */
uint32_t leans_size(const struct leans *leans);

/* Where either of two sides would do, the one is named that adds less to
 * what is in this set (borrowed); NULL: the smaller one. */
void leans_prefer(struct leans *leans, leans_set known);

/* Runs one scan as machine_step does. */
const struct step_result *leans_step(struct leans *leans,
                                     const struct step_setting *setting,
                                     const uint32_t *choices,
                                     int64_t *state);

/* Of that scan: on what it leans whether it is allowed, ends in an error,
 * and what the requirement finds at its judging. */
leans_set leans_outcome(const struct leans *leans);

/* And, where it was judged, what the word holds after it. */
leans_set leans_word(struct leans *leans, uint32_t word);

#endif
