/* part.h - every way through one scan, as far as the part that matters.
 *
 *     while (a walk over all states is not through or has grown the part)
 *         for each state: part_hold(part, state);
 *             part_begin(part, state);
 *             while ((result = part_next(part)))
 *                 look at result, part->choices, part->decided, part->after;
 *
 * The part that matters for a requirement ALWAYS POSSIBLE AGAIN: the words of
 * a state, and the choices of a scan, on which it leans (leans.h) whether a
 * play finds what is looked for, ends what is asked, meets a run-time error
 * or is allowed, and what those words become where it leads on.  It begins
 * empty and grows with what the walk comes upon; a walk counts only when the
 * part did not grow in it.  All else is held: words as in the first state of
 * the walk, choices at rest.
 *
 * Why that is exact.  After a walk that did not grow, every play from a state
 * of it leans on words and choices of the part alone.  So every state that
 * agrees with one of the walk in the words of the part has, for every value
 * of all that is held, plays of the same kind, and they lead to states that
 * again agree with one of the walk.  Every run-time error counts, wherever it
 * happens: what could bring one about belongs to the part.
 *
 * Assumptions.  One that shares a choice or a word with the part, directly or
 * through others, belongs to it with all it reads.  The others are left out.
 * What they forbid is a matter of what is held alone, so on the whole machine
 * they either leave a play as it is or take it away.  A play taken away never
 * helps us: where the part shows a trap, the whole machine has it, whatever
 * the others forbid.  The reverse holds too unless they leave no way on,
 * which is a finding of its own; the study leaves them out the same way.
 */
#ifndef KEEPCLEAR_REFERENCE_PART_H
#define KEEPCLEAR_REFERENCE_PART_H

#include <stdbool.h>
#include <stdint.h>

#include "reference/machine.h"

struct arena;

struct part {
    const uint32_t *choices; /* value index per row: this combination */
    const bool *decided;     /* per row: stands for this value alone; the
                                others stand for all of theirs */
    int64_t *after;          /* state after the judging, if it was judged */

    struct part_inside *inside;
};

/* For requirement number `requirement`, and walks that begin at a state
 * (copied).  Of the setting, faults and what is dropped count.  Lies in the
 * arena; part_release when it is done.  NULL: the texts cannot be followed
 * (targets.h). */
struct part *part_new(struct arena *arena, struct machine *machine,
                      const struct step_setting *setting,
                      uint32_t requirement, const int64_t *state);
void part_release(struct part *part);

/* Sets all words that do not matter to what they are held at. */
void part_hold(const struct part *part, int64_t *state);

/* Does this word of a state matter, as far as is known? */
bool part_has(const struct part *part, uint32_t word);

/* The plays from a state (copied), each in one way through the scan or
 * another. */
void part_begin(struct part *part, const int64_t *state);
const struct step_result *part_next(struct part *part);

/* Has the part grown since this was asked last? */
bool part_grew(struct part *part);

#endif
