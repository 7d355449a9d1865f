/* signals.h - what lies between hands, machine and programs: contacts and
 * sensors with their faults (step 5), actuators with theirs (step 7). */
#ifndef KEEPCLEAR_LOWER_SIGNALS_H
#define KEEPCLEAR_LOWER_SIGNALS_H

#include "lower/sym.h"

/* Fills sym->conducts from hands, machine and faults, and keeps what the
 * contact stage remembers. */
void signals_conduct(struct sym *sym);

/* Program inputs take what drives them; lit scans only. */
void signals_sample(struct sym *sym);

/* Actuators in no wiring take their command. */
void signals_command(struct sym *sym);

/* Actuator faults, after the wiring. */
void signals_actuator_faults(struct sym *sym);

#endif
