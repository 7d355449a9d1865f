/* stoplines.h - the lines of a stop map, and its columns but for the rescue
 * controls, which are found. */
#ifndef KEEPCLEAR_STUDY_STOPLINES_H
#define KEEPCLEAR_STUDY_STOPLINES_H

#include "study/stopmap.h"

struct study;

/* Stops in declared order, then all of them where there are several. */
void stoplines_columns(struct study *study, struct stopmap *map);

/* Actuators that move something, and the parts that they move. */
void stoplines_list(struct study *study, struct stopmap *map);

#endif
