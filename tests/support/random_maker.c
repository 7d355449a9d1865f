#include "tests/support/random_maker.h"

#include <stdarg.h>
#include <stdio.h>

#include "base/arena.h"

unsigned any(struct maker *m, unsigned below)
{
    m->seed = m->seed * UINT64_C(6364136223846793005) +
              UINT64_C(1442695040888963407);
    return (unsigned)(m->seed >> 33) % below;
}

bool chance(struct maker *m, unsigned percent)
{
    return any(m, 100) < percent;
}

const char *phrase(struct maker *m, const char *format, ...)
{
    va_list list, again;
    char *out;
    int n;

    va_start(list, format);
    va_copy(again, list);
    n = vsnprintf(NULL, 0, format, list);
    va_end(list);
    out = arena_alloc(m->arena, (size_t)n + 1);
    vsnprintf(out, (size_t)n + 1, format, again);
    va_end(again);
    return out;
}

const char *number_in_c(struct maker *m, int64_t value)
{
    if (value == INT64_MIN)
        return "INT64_MIN";
    return phrase(m, value < 0 ? "(%lldLL)" : "%lldLL", (long long)value);
}
