/* begun_signals.h - what the inputs and outputs of the programs may be. */
#ifndef KEEPCLEAR_STUDY_BEGUN_SIGNALS_H
#define KEEPCLEAR_STUDY_BEGUN_SIGNALS_H

#include "study/begun.h"

struct loaded;

/* Lists them with what their names and comments say. */
void begun_signals(struct loaded *loaded, struct beginning *begun);

/* What only the use in the texts tells: contacts of stops, buttons without a
 * telling name.  After the machine is guessed. */
void begun_uses(struct loaded *loaded, struct beginning *begun);

#endif
