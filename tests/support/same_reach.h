/* same_reach.h - do two engines agree on a slice? */
#ifndef KEEPCLEAR_TESTS_SAME_REACH_H
#define KEEPCLEAR_TESTS_SAME_REACH_H

#include "engine/reach.h"
#include "engine/sequence.h"

/* Fails the test where two complete runs over a slice differ, bytes held
 * apart. */
void same_reach(const struct slice *slice, const struct reach *a,
                const struct reach *b);

/* Fails the test where two sequences differ; NULL is allowed for both. */
void same_sequences(const struct sequence *a, const struct sequence *b);

#endif
