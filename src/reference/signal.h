/* signal.h - hands, contacts, sensors and wires; what a slot holds.
 *
 * A line is what conducts between the machine and the program: contact k is
 * line k, sensor s is line n_contacts + s.
 */
#ifndef KEEPCLEAR_REFERENCE_SIGNAL_H
#define KEEPCLEAR_REFERENCE_SIGNAL_H

#include "reference/scan.h"

/* Position of a control. */
int64_t signal_hand(struct scan *scan, uint32_t control,
                    enum code_when when);

/* What a sound contact conducts, given the position of its control. */
int64_t signal_sound(const struct contact *contact, int64_t hand);

/* Sound value of a contact. */
int64_t signal_contact(struct scan *scan, uint32_t contact,
                       enum code_when when);

/* A machine variable as it stands for a displaced sensor (CODE_DISPLACED). */
int64_t signal_displaced(struct scan *scan, const struct code_expr *expr);

/* Value of a line after the contact stage of step 5. */
int64_t signal_stage(struct scan *scan, uint32_t line);

/* Value of a line at the end: what the program or the wiring gets. */
int64_t signal_conducts(struct scan *scan, uint32_t line);

/* Does a fault that the setting allows act on the contact stage of this
 * line?  If none does, its past is of no interest. */
bool signal_has_past(const struct scan *scan, uint32_t line);

/* The value of a slot now.  A sampled input is looked at when it is first
 * read, so that a hand which nobody asks for stays undecided. */
int64_t signal_slot(struct scan *scan, uint32_t slot);

/* Gives a slot a value. */
void signal_set_slot(struct scan *scan, uint32_t slot, int64_t value);

#endif
