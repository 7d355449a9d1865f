#include "tests/bench/found.h"

#include <stdio.h>

static bool differ(const char *a_name, const char *b_name, const char *what,
                   double a, double b)
{
    fprintf(stderr, "bench: DIFFERENT %s: %s %.0f, %s %.0f\n", what, a_name,
            a, b_name, b);
    return false;
}

/* Counts above 2^53 are doubles: equal but for their last digits.  One that
 * does not fit 64 bits is not compared level by level. */
static bool same_count(double a, double b)
{
    const double exact = 9007199254740992.0;

    if (a <= exact && b <= exact)
        return a == b;
    return a - b <= b * 1e-12 && b - a <= a * 1e-12;
}

static bool is_more_than_fits(double a)
{
    return a >= 18446744073709551615.0;
}

static bool levels_agree(const char *a_name, const struct found *a,
                         const char *b_name, const struct found *b)
{
    uint32_t n = a->levels < b->levels ? a->levels : b->levels;
    char what[64];

    for (uint32_t i = 0; i < n && i < FOUND_LEVELS; i++) {
        if (same_count(a->level_size[i], b->level_size[i]) ||
            is_more_than_fits(a->level_size[i]) ||
            is_more_than_fits(b->level_size[i]))
            continue;
        snprintf(what, sizeof what, "size of level %u", i + 1);
        return differ(a_name, b_name, what, a->level_size[i],
                      b->level_size[i]);
    }
    return true;
}

/* A run that ended early knows of the watch only what it came to. */
static bool watches_agree(const char *a_name, const struct found *a,
                          const char *b_name, const struct found *b)
{
    if (a->watch_level == b->watch_level ||
        (!a->watch_level && !a->complete) ||
        (!b->watch_level && !b->complete))
        return true;
    return differ(a_name, b_name, "level of the question", a->watch_level,
                  b->watch_level);
}

bool found_agree(const char *a_name, const struct found *a,
                 const char *b_name, const struct found *b)
{
    if (a->failed || b->failed)
        return true;
    if (!levels_agree(a_name, a, b_name, b) ||
        !watches_agree(a_name, a, b_name, b))
        return false;
    if (!a->complete || !b->complete)
        return true;
    if (a->levels != b->levels)
        return differ(a_name, b_name, "number of levels", a->levels,
                      b->levels);
    return same_count(a->situations, b->situations) ||
           differ(a_name, b_name, "situations", a->situations,
                  b->situations);
}
