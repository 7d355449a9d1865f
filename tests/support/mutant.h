/* mutant.h - texts with a mistake put into them at random.
 *
 * The same seed gives the same text on every machine. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_MUTANT_H
#define KEEPCLEAR_TESTS_SUPPORT_MUTANT_H

#include <stdint.h>

struct text;

/* Appends `text` with one to four mistakes to `out`: words left out, written
 * twice, exchanged, taken from `other`; bytes changed; the end cut off;
 * brackets nested many times; numbers of many digits. */
void mutant_make(const char *text, const char *other, uint64_t seed,
                 struct text *out);

#endif
