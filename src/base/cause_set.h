/* cause_set.h - causes of faults that belong together, by their numbers. */
#ifndef KEEPCLEAR_BASE_CAUSE_SET_H
#define KEEPCLEAR_BASE_CAUSE_SET_H

#include <stdint.h>

/* n is at least 1. */
struct cause_set {
    const uint32_t *causes;
    uint32_t n;
};

#endif
