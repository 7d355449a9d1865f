/* observed.h - what was seen of a situation. */
#ifndef KEEPCLEAR_ENGINE_SETS_OBSERVED_H
#define KEEPCLEAR_ENGINE_SETS_OBSERVED_H

#include <stdbool.h>
#include <stdint.h>

/* Cells of the slice with their values. */
struct observed {
    uint32_t n;
    const uint32_t *cell; /* FLAT_NONE: it always has the value `fixed` */
    const int64_t *fixed;
    const int64_t *value;
    const bool *given; /* others are not known */
};

#endif
