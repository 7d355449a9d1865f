/* pairwords.h - what a test sheet shows of the decisions on which movements
 * depend: their unique-cause pairs (check/decision.h). */
#ifndef KEEPCLEAR_PRESENT_PAIRWORDS_H
#define KEEPCLEAR_PRESENT_PAIRWORDS_H

#include <stdint.h>

#include "study/obligation.h"

struct byhand_view;
struct text;

/* How many there are, and how many are shown, in sentences. */
void pairwords_reach(struct text *out, const struct byhand_view *view);

/* The pairs of a condition that have this state; false, and nothing, if there
 * is none.  Conditions are numbered through all decisions; those of one with
 * too many of them are NOT_KNOWN. */
bool pairwords_condition(struct text *out, const struct byhand_view *view,
                         uint32_t condition, enum obligation_state state);

#endif
