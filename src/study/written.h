/* written.h - how each variable comes about in a scan, as it is written: the
 * statements that assign it, put together into one expression over names.
 *
 * For people who ask why.  A name stands for its value at the end of the scan
 * where nothing assigns it any more, or for the one before the scan where
 * nothing has assigned it yet; what lies between is written out.  Functions,
 * loops and elements of arrays are followed as far as they have few enough
 * passes and elements, standard blocks as far as words go.  What is not
 * followed is told by the names that it is reckoned from.  Nothing here is
 * exact under faults, without power or in a program that rests in this scan:
 * whoever shows it compares it with the value that is there.
 */
#ifndef KEEPCLEAR_STUDY_WRITTEN_H
#define KEEPCLEAR_STUDY_WRITTEN_H

#include "study/writtenmake.h"

struct arena;
struct model;

/* Per slot of the model; lies in the arena. */
const struct written_slot *written_find(struct arena *arena,
                                        const struct model *model);

#endif
