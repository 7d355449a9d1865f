/* timing_text.h - a timing diagram in a terminal. */
#ifndef KEEPCLEAR_PRESENT_TIMING_TEXT_H
#define KEEPCLEAR_PRESENT_TIMING_TEXT_H

#include <stdbool.h>

struct text;
struct timing;

/* At most 100 columns; plain: of our own only characters of ASCII. */
void timing_text(struct text *out, const struct timing *timing, bool plain);

#endif
