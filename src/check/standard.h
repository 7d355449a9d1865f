/* standard.h - the standard blocks as declared units. */
#ifndef KEEPCLEAR_CHECK_STANDARD_H
#define KEEPCLEAR_CHECK_STANDARD_H

#include "check/draft.h"

/* The name of the n-th standard block from 0 on, or NULL behind the last;
 * several can be of one kind. */
const char *standard_name(size_t block);

/* Fills a fresh unit: variables at the offsets of code.h, hidden ones not
 * to be named. */
void standard_declare(struct draft *draft, struct unit *unit,
                      size_t block);

/* Is this row the hidden age of a timer? */
bool standard_is_age(const struct code_frame_var *row);

#endif
