/* turns.h - in which order things are worked out within a scan.
 *
 * Few half finished scans wait between sections where little has to be
 * remembered between them: the order is chosen for that.
 */
#ifndef KEEPCLEAR_ENGINE_TILES_TURNS_H
#define KEEPCLEAR_ENGINE_TILES_TURNS_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct scan_form;

/* What is put into its place as a whole. */
struct unit {
    const uint8_t *reads;  /* per item */
    const uint32_t *makes; /* items that it works out: next values of cells */
    uint32_t n_makes;      /* (never given up) or marks */
};

struct turns_task {
    const struct scan_form *form;
    const struct unit *units;
    uint32_t n;
    const uint8_t *read;    /* per item: read before any of them */
    const bool *precedes;   /* n by n: [a * n + b]: a comes before b */
    bool thorough;          /* spend time on it */
};

/* Units in a good order; lies in the arena. */
const uint32_t *turns_find(struct arena *arena,
                           const struct turns_task *task);

#endif
