#include "base/divisor.h"

int64_t divisor_common(int64_t a, int64_t b)
{
    uint64_t x = a < 0 ? -(uint64_t)a : (uint64_t)a;
    uint64_t y = b < 0 ? -(uint64_t)b : (uint64_t)b;

    while (y) {
        uint64_t rest = x % y;

        x = y;
        y = rest;
    }
    return x > INT64_MAX ? 1 : (int64_t)x;
}
