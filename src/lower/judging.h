/* judging.h - step 8: what each requirement keeps, breach and triggers. */
#ifndef KEEPCLEAR_LOWER_JUDGING_H
#define KEEPCLEAR_LOWER_JUDGING_H

#include "lower/sym.h"

/* Judges every requirement: fills breach and trigger, keeps monitors. */
void judging_run(struct sym *sym);

#endif
