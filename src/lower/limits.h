/* limits.h - what may end a lowering early. */
#ifndef KEEPCLEAR_LOWER_LIMITS_H
#define KEEPCLEAR_LOWER_LIMITS_H

#include <stdbool.h>
#include <stdint.h>

struct lower_limits {
    bool (*interrupted)(void); /* asked at each statement; NULL: never */
    uint64_t most_bytes;       /* of what is made in one run, beyond 4 MiB
                                  that every text may take; 0: any */
};

#endif
