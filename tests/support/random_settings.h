/* random_settings.h - statements of which controllers differ in what they do,
 * and what a random controller does; parts of a random machine
 * (random_review.h), whose BOOL variables they use. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_SETTINGS_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_SETTINGS_H

#include <stdint.h>

#include "base/text.h"

/* Appended to the text; the seed goes on. */
void random_settings_variables(struct text *control);
void random_settings_statement(uint64_t *seed, struct text *control);
void random_settings_section(uint64_t *seed, struct text *review);

#endif
