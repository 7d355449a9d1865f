/* blast.h - one form of a slice (the first scan, or a later one) as sets of
 * situations before the scan and choices in it. */
#ifndef KEEPCLEAR_ENGINE_SETS_BLAST_H
#define KEEPCLEAR_ENGINE_SETS_BLAST_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/sets/room.h"

struct arena;
struct guard;
struct scheme;
struct slice;

/* What to make: fixed as in struct explore_setting, of this form. */
struct blast_form {
    const struct slice *slice;
    const struct scheme *scheme;
    const uint32_t *fixed;
    bool first;
};

struct blast {
    const set *assumptions, *ends, *watches; /* as in the slice */
    set **cells;          /* per cell: bits of its units after the scan */
    const set *fits;      /* per cell: its value needs not be moved */
};

/* Lies in the arena; its sets are held by the scope of the caller.  What it
 * holds means nothing once the guard does not pass. */
const struct blast *blast_new(struct arena *arena, struct room *room,
                              struct guard *guard,
                              const struct blast_form *form);

#endif
