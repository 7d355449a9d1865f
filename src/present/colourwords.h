/* colourwords.h - colours of lamps and buttons: their words, and how they are
 * drawn.  A picture never says by colour alone what it says. */
#ifndef KEEPCLEAR_PRESENT_COLOURWORDS_H
#define KEEPCLEAR_PRESENT_COLOURWORDS_H

#include "check/model.h"

/* "red"; "" where nothing is said. */
const char *colourwords_name(enum colour colour);

/* "#c00000", or NULL where nothing is said: the fill on white paper. */
const char *colourwords_fill(enum colour colour);

/* What can be read on that fill: "#000000" or "#ffffff". */
const char *colourwords_ink(enum colour colour);

#endif
