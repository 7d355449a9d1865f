/* stopshown.h - a sequence for each motion of a stop map that remains
 * possible.
 *
 * The canonical one to a scan in which it is so.  The reference interpreter
 * plays it; where that does not see the stop pressed and the actuator on, or
 * the part change, it is an internal error and never shown.
 */
#ifndef KEEPCLEAR_STUDY_STOPSHOWN_H
#define KEEPCLEAR_STUDY_STOPSHOWN_H

#include "study/seenings.h"
#include "study/stopmap.h"

/* motion: per cell of the map, what is so in the last scan; the cells that are
 * seen get their sequence. */
void stopshown_find(struct seenings *seen, const struct stopmap *map,
                    struct stopmap_cell *cells, const flat_expr *motion);

#endif
