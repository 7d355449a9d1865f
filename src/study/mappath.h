/* mappath.h - a sequence as a path through a situation diagram. */
#ifndef KEEPCLEAR_STUDY_MAPPATH_H
#define KEEPCLEAR_STUDY_MAPPATH_H

#include <stdint.h>

struct arena;
struct map;
struct replay;

/* One move from a node to another one. */
struct map_step {
    uint32_t edge; /* of the map */
    uint32_t scan; /* of the sequence, from 0: that leads there */
    int64_t time;  /* of its judging, ms */
};

struct map_path {
    uint32_t first;              /* node of the first scan */
    const struct map_step *steps;
    uint32_t n_steps;
    const char *name, *words;    /* the caller's: whose it is, what it is */
    const char *internal_error;  /* it goes where the map has no way */
};

/* Plays the sequence once more and looks at the chosen variables at each
 * judging; the map was built with at least the faults of the sequence, and
 * is complete.  Lies in the arena. */
const struct map_path *mappath_find(struct arena *arena,
                                    const struct map *map,
                                    const struct replay *sequence);

#endif
