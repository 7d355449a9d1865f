/* lane.h - the way of all scans of one form, section by section.
 *
 * Half finished scans wait in front of each section until many have come, so
 * that equal ones, whatever situations they began in, are worked on once.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_LANE_H
#define KEEPCLEAR_ENGINE_TILES_LANE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/tiles/outline.h"
#include "engine/tiles/places.h"
#include "engine/tiles/section.h"
#include "engine/tiles/stage.h"

/* What comes out of a lane goes to these; false: stop. */
struct lane_sink {
    void *context;
    /* n situations of stride words: they begin with the words of the rest
     * and end with the bitmap. */
    bool (*situations)(void *context, const uint64_t *entries, uint32_t n,
                       uint32_t stride);
    bool (*seen)(void *context, enum outcome_kind kind, uint32_t number);
    bool (*goes_on)(void *context); /* asked now and then */
    void (*reduced)(void *context);
    void (*full)(void *context);    /* no bytes are left: it is stopped */
};

struct lane {
    const struct scan_form *form;
    const struct course *course;
    const struct places *places;
    const struct rest *rest;
    struct section *sections;  /* per part */
    struct section *watches;   /* per watch */
    bool *unseen;              /* per watch: still looked for */
    bool *looks;               /* per part: watches are looked at before it */
    struct stage *stages;      /* one before each part, one behind all */
    struct lane_sink sink;
    uint32_t stride;
    uint64_t worked;           /* half finished scans */
};

/* What a lane is made from. */
struct lane_plan {
    const struct slice *slice;
    const struct tile_bits *bits;
    const struct rest *rest;
    const uint32_t *fixed;
    bool first;
    enum course_kind kind;
    const struct lane *like; /* of the same form: cut as it is; NULL: anew */
};

/* Lies in the arena; false: no bytes left. */
bool lane_init(struct lane *lane, struct arena *arena,
               const struct lane_plan *plan, struct budget *budget);
void lane_release(struct lane *lane);

/* Where all goes; before anything is begun. */
void lane_connect(struct lane *lane, const struct lane_sink *sink);

/* Begins a scan in a situation (words of the rest, bitmap behind); in the
 * first form the words are not looked at.  False: stopped. */
bool lane_begin(struct lane *lane, const uint64_t *entry);

/* Brings all that waits to its end.  False: stopped. */
bool lane_finish(struct lane *lane);

#endif
