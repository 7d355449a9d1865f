/* handcover.h - of many ways by hand the few that show all that they show
 * together.
 *
 * A fact is a number: an obligation that is met, or an observation.  Each step
 * of a way shows some.  What is chosen shows every fact that any way shows;
 * nothing of it can be left out, and no way ends with a step that shows
 * nothing.
 */
#ifndef KEEPCLEAR_STUDY_HANDCOVER_H
#define KEEPCLEAR_STUDY_HANDCOVER_H

#include <stdint.h>

struct arena;

struct cover_step {
    const uint32_t *facts; /* none twice */
    uint32_t n_facts;
};

struct cover_way {
    const struct cover_step *steps;
    uint32_t n_steps;
    uint32_t extra; /* steps that it costs besides: its preparation, and
                       putting everything back */
    uint32_t length; /* the answer: so many steps of it are done; 0: it is
                        left out */
};

/* Answers for each way.
 * Most facts for the steps first, and of equals the first one; then, last
 * one first, each without which nothing is missing goes; then steps at the end
 * of a way that show only what is shown elsewhere.
 * count: n_facts, gets how often each fact is shown in what is left. */
void handcover_choose(struct arena *arena, struct cover_way *ways,
                      uint32_t n, uint32_t n_facts, uint32_t *count);

#endif
