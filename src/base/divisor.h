/* divisor.h - the greatest common divisor. */
#ifndef KEEPCLEAR_BASE_DIVISOR_H
#define KEEPCLEAR_BASE_DIVISOR_H

#include <stdint.h>

/* Of the sizes of both; 0 with 0 is 0.  1 where it does not fit. */
int64_t divisor_common(int64_t a, int64_t b);

#endif
