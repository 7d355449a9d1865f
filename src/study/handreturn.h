/* handreturn.h - what turns something on is held while power returns. */
#ifndef KEEPCLEAR_STUDY_HANDRETURN_H
#define KEEPCLEAR_STUDY_HANDRETURN_H

#include "study/handwrite.h"

/* Writes sequences in which the controls of each step that turns something on
 * are moved while the supply is off, and of two buttons one of them, with the
 * other one pressed later.  What is then seen is written where it is sure; in
 * most machines nothing may move for a hand that was there already. */
void handreturn_write(struct finder *finder);

#endif
