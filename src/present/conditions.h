/* conditions.h - under which conditions a result stands: inputs by kind,
 * assumptions, initial values, power, what a result does not show. */
#ifndef KEEPCLEAR_PRESENT_CONDITIONS_H
#define KEEPCLEAR_PRESENT_CONDITIONS_H

#include "present/verdict.h"

struct model;

/* Does something stay as it begins only because nobody says otherwise? */
bool conditions_held(const struct model *model);

void conditions_add(struct text *out, const struct view *view);

#endif
