/* begun_machine.h - which parts may move, from ends and directions. */
#ifndef KEEPCLEAR_STUDY_BEGUN_MACHINE_H
#define KEEPCLEAR_STUDY_BEGUN_MACHINE_H

#include "study/begun.h"

struct loaded;
struct name;

/* Outputs in opposite directions; buttons of inputs in opposite
 * directions. */
void begun_pairs(struct loaded *loaded, struct beginning *begun);

/* Ends seen by sensors, and what drives to them. */
void begun_mechanisms(struct loaded *loaded, struct beginning *begun);

/* Is the name a word wherever it stands in a review text? */
bool begun_reserved(const struct name *name);

/* All texts are read: what is named from now on is new. */
void begun_mark(struct loaded *loaded);

/* A name that stands in none of the texts and is no word of a review text:
 * the wanted one, or one like it. */
const char *begun_fresh(struct loaded *loaded, const char *wanted);

#endif
