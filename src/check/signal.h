/* signal.h - CONTROLS: controls, their contacts, sensors and actuators. */
#ifndef KEEPCLEAR_CHECK_SIGNAL_H
#define KEEPCLEAR_CHECK_SIGNAL_H

#include "check/draft.h"

/* Declares all signals of the review text with their types and names, and
 * the slots of the actuators. */
void signal_declare(struct draft *draft);

/* Checks ON WHEN of all sensors; machine variables are declared. */
void signal_sensors(struct draft *draft);

#endif
