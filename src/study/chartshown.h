/* chartshown.h - a sequence for what a cell of a cause-and-effect chart says.
 *
 * The canonical one to a scan in which the act is seen.  The reference
 * interpreter plays it, and its last scan once more with the input turned:
 * what it does not see there too is an internal error, never shown.
 */
#ifndef KEEPCLEAR_STUDY_CHARTSHOWN_H
#define KEEPCLEAR_STUDY_CHARTSHOWN_H

#include "study/charting.h"

struct replay;

struct chartshown {
    const struct replay *sequence; /* NULL: a limit came, or an internal
                                      error */
    uint32_t turned; /* value index of the input in the scan that its last is
                        held against; of a sensor 0 and 1 */
    bool with;       /* the sequence itself ends with the input in the position
                        of the line */
};

/* Of an act that is seen. */
struct chartshown chartshown_find(struct charting *charting, uint32_t cell,
                                  enum chart_act act);

#endif
