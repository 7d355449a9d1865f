/* course.h - in which sections a scan is worked out.
 *
 * Assumptions come first, in groups that share no input; then marks, ends,
 * watches and the cells' next values, ordered so that little has to be
 * remembered between sections.  Ends keep their order and come before
 * watches and cells: a path stops at the first that holds.  Watches decide
 * nothing: they are looked at beside the others.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_COURSE_H
#define KEEPCLEAR_ENGINE_TILES_COURSE_H

#include <stdint.h>

#include "engine/tiles/outline.h"

enum part_kind { PART_ASSUMPTIONS, PART_END, PART_WATCH, PART_VALUES };

/* What one section works out: assumptions, an end or a watch, by their
 * numbers in the slice; or values: numbers of cells, and behind them marks,
 * each with the number of cells added. */
struct part {
    enum part_kind kind;
    uint32_t *member;
    uint32_t n;
    uint32_t at;    /* its place; a watch: looked at before that part */
    bool *open;     /* per mark: worked out inside of it */
    uint8_t *reads; /* per item of the form */
};

struct course {
    struct part *parts;   /* in order; all but watches */
    uint32_t n_parts;
    struct part *watches; /* one per watch of the slice */
    uint32_t n_watches;
};

enum course_kind {
    COURSE_QUICK, /* little time is spent on the order */
    COURSE_GOOD,
    COURSE_WHOLE  /* all next values in one section: for scans in which
                     everything depends on everything */
};

/* Lies in the arena. */
const struct course *course_new(struct arena *arena,
                                const struct scan_form *form,
                                enum course_kind kind);

#endif
