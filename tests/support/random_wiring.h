/* random_wiring.h - a stop, a button, a relay and two motors behind a random
 * WIRING OUT, and two control texts for it. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_WIRING_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_WIRING_H

#include <stdbool.h>
#include <stdint.h>

struct text;

/* The review text; the same for the same seed. */
void random_wiring(uint64_t seed, struct text *out);

/* One that asks for its motors for a reason; at will: by inputs that nothing
 * describes, so that every command is free in every scan. */
const char *random_wiring_control(bool at_will);

#endif
