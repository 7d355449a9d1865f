/* latches.h - latches on a motion output in which the set wins. */
#ifndef KEEPCLEAR_CHECK_ADVICE_LATCHES_H
#define KEEPCLEAR_CHECK_ADVICE_LATCHES_H

#include "check/advice/subject.h"

/* For all actuators of kind VALVE and MOTOR. */
void latches_advise(struct draft *draft);

#endif
