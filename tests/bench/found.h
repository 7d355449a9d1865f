/* found.h - what an explorer, ours or a rival, found and what it took. */
#ifndef KEEPCLEAR_BENCH_FOUND_H
#define KEEPCLEAR_BENCH_FOUND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { FOUND_LEVELS = 4096 };

struct found {
    bool complete;         /* every reachable situation was looked at */
    bool failed;           /* it did not come to an end that counts */
    double seconds;
    double situations;     /* exact below 2^53 */
    double expanded;       /* of these were looked at; 0: not known */
    double leaves;         /* ways through a scan; 0: not known */
    uint32_t levels;       /* complete ones */
    double level_size[FOUND_LEVELS];
    uint32_t watch_level;  /* of the question, 0: never */
    size_t bytes;
    char count[128];       /* decimal, where the engine says it exactly */
};

/* Do the two agree on all that both have looked at?  A difference is
 * written to standard error. */
bool found_agree(const char *a_name, const struct found *a,
                 const char *b_name, const struct found *b);

#endif
