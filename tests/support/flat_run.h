/* flat_run.h - runs flat logic with plain numbers, scan by scan: every node
 * is computed, in ascending order, with the times of movements or without. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_FLAT_RUN_H
#define KEEPCLEAR_TESTS_SUPPORT_FLAT_RUN_H

#include <stdbool.h>
#include <stdint.h>

#include "logic/flat.h"

struct arena;

struct flat_run {
    const struct flat *flat;
    int64_t *cell;         /* as last judged; before scan 1: initial */
    uint32_t *choice;      /* per row: value index, set by the caller */
    int64_t *node;         /* of the last scan */
    int64_t *hole, *present, *occurred; /* of the last scan */
    uint32_t fault_limit;
    bool free_times;       /* movements take any time, or never happen */
    uint32_t scans;        /* run so far */
};

/* All choices stand at rest; START and PAST are read from `choice` in the
 * first scan. */
struct flat_run *flat_run_new(struct arena *arena, const struct flat *flat);

/* One scan with the choices as they stand: computes all nodes, then stores
 * the next cells when `commit`.  False when a next value does not lie in its
 * cell: not a multiple of its unit, or out of its range. */
bool flat_run_scan(struct flat_run *run, bool commit);

/* Forgets everything: the next scan is scan 1. */
void flat_run_restart(struct flat_run *run);

/* In the last scan: do all assumptions hold, which watch is the first error
 * (FLAT_NONE: none), how many motions moved. */
bool flat_run_allowed(const struct flat_run *run);
uint32_t flat_run_error(const struct flat_run *run);
uint32_t flat_run_moved(const struct flat_run *run);

#endif
