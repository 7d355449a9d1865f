/* spacing.h - blanks between two pieces of one line. */
#ifndef KEEPCLEAR_LANG_SPACING_H
#define KEEPCLEAR_LANG_SPACING_H

#include "lang/piece.h"

/* Blanks before at[index], which has a piece before it in its line. */
uint32_t spacing_before(const struct pieces *pieces, size_t index);

/* Is the token a word whose letters may be made capitals? */
bool spacing_is_keyword(int kind);

#endif
