/* standard.h - the standard blocks as declared units. */
#ifndef KEEPCLEAR_CHECK_STANDARD_H
#define KEEPCLEAR_CHECK_STANDARD_H

#include "check/draft.h"

/* "TON", ...; kind from STANDARD_TON to STANDARD_RS. */
const char *standard_name(enum code_standard kind);

/* Fills a fresh unit: variables at the offsets of code.h, hidden ones not
 * to be named. */
void standard_declare(struct draft *draft, struct unit *unit,
                      enum code_standard kind);

/* Is this row the hidden age of a timer? */
bool standard_is_age(const struct code_frame_var *row);

#endif
