/* stopmapping.h - a stop map (stopmap.h) is made.
 *
 * Each line is asked in runs of its own, all columns at once, by either
 * engine; movements that may take any time are tried first, for what cannot
 * be seen there cannot be seen at all.
 */
#ifndef KEEPCLEAR_STUDY_STOPMAPPING_H
#define KEEPCLEAR_STUDY_STOPMAPPING_H

#include "study/stopmap.h"

struct loaded;
struct study_setting;

struct stopmapping_asked {
    const struct study_setting *setting;
    uint32_t faults;
    bool sequences; /* a sequence for each motion that remains possible */
    void (*progress)(uint32_t done, uint32_t all); /* or NULL */
};

/* The map; lies in the arena of `loaded`.  NULL: the model is beyond this
 * version, and the diagnostics of `loaded` say why. */
const struct stopmap *stopmapping_make(struct loaded *loaded,
                                       const struct stopmapping_asked *asked);

#endif
