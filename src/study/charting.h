/* charting.h - a cause-and-effect chart (chart.h) is made.
 *
 * Each column is asked in a run of its own, all that may be seen in it at
 * once, by either engine.  Movements that may take any time are tried first,
 * for what cannot be seen there cannot be seen at all.
 */
#ifndef KEEPCLEAR_STUDY_CHARTING_H
#define KEEPCLEAR_STUDY_CHARTING_H

#include "study/chart.h"
#include "study/study.h"

struct loaded;

/* What a chart is asked for. */
struct charting_asked {
    const struct study_setting *setting;
    uint32_t faults;
    const char *input, *output; /* names, as the texts spell them: these
                                   only; NULL: all */
};

/* A chart and the study that it came from; all lies in the arena of
 * `loaded`. */
struct charting {
    struct study study;
    struct chart chart;
    uint32_t *watch; /* per cell and act: its watch, or FLAT_NONE where it
                        cannot be */
    const struct charting_asked *asked;
};

/* Lists inputs and outputs and makes everything ready.  NULL: done, else a
 * sentence for the user, or "" where diags says why. */
const char *charting_open(struct charting *charting, struct loaded *loaded,
                          const struct charting_asked *asked);

/* Fills the cells.  progress: called after each column; NULL: never. */
void charting_judge(struct charting *charting,
                    void (*progress)(uint32_t done, uint32_t all));

void charting_close(struct charting *charting);

#endif
