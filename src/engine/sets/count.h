/* count.h - how many situations a set holds, exactly. */
#ifndef KEEPCLEAR_ENGINE_SETS_COUNT_H
#define KEEPCLEAR_ENGINE_SETS_COUNT_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/sets/room.h"

struct arena;
struct counter;

/* For sets of variables of which there are n_bits; total 0.  Never NULL. */
struct counter *counter_new(uint32_t n_bits);
void counter_free(struct counter *counter); /* NULL is allowed */

/* Counts a set, keeping to so many bytes, 0: any; false: they were not enough,
 * and nothing is known of the set.  *size UINT64_MAX: more than fits. */
bool counter_measure(struct counter *counter, set a, uint64_t most_bytes,
                     uint64_t *size);

/* The most that was ever held. */
uint64_t counter_bytes(const struct counter *counter);

/* Is the total with the set that was measured last above `most`? */
bool counter_exceeds(const struct counter *counter, uint64_t most);

/* Adds the set that was measured last to the total. */
void counter_add(struct counter *counter);

/* The total; UINT64_MAX: more than fits, and in decimal (in the arena). */
uint64_t counter_total(const struct counter *counter);
const char *counter_text(const struct counter *counter,
                         struct arena *arena);

#endif
