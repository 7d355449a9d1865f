/* scheme.h - which variables stand for the cells before and after a scan,
 * and which for its choices. */
#ifndef KEEPCLEAR_ENGINE_SETS_SCHEME_H
#define KEEPCLEAR_ENGINE_SETS_SCHEME_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct slice;

/* A whole number from 0 on as bits; `variable` from the lowest bit on.  The
 * variable of the same bit after the scan is the next one. */
struct field {
    uint64_t most;
    uint32_t n;
    uint32_t *variable;
};

struct scheme {
    uint32_t n_variables;
    const bool *trade;          /* per two variables: bit of a cell */
    uint32_t n_cells, n_rows;
    const struct field *cells;  /* units above the lowest value */
    const struct field *rows;   /* value index */
    uint32_t state_bits;        /* of all cells together */
    const uint32_t *cell_of;    /* per variable of a cell before the scan */
    const uint32_t *bit_of;     /* its cell, and which bit of it */
};

enum scheme_kind {
    SCHEME_APART, /* the bits of each cell together */
    SCHEME_LEVEL  /* long cells on top, bits of the same weight together */
};

/* Is there a long cell, so that the kinds differ? */
bool scheme_has_long(const struct slice *slice);

/* Lies in the arena. */
const struct scheme *scheme_new(struct arena *arena,
                                const struct slice *slice,
                                enum scheme_kind kind);

#endif
