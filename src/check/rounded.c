#include "check/rounded.h"

#include <math.h>

#include "check/real.h"
#include "check/setting.h"

static double whole_of(double number, uint32_t how)
{
    double whole = trunc(number), rest = fabs(number - whole);
    double next = whole + (number < 0 ? -1 : 1);

    if (how == ROUNDING_CUT || rest < 0.5)
        return whole;
    if (rest > 0.5 || how == ROUNDING_AWAY)
        return next;
    return fmod(whole, 2) == 0 ? whole : next;
}

/* FALSE where it does not fit. */
static bool whole_number(double number, const struct type *to,
                         int64_t *whole)
{
    if (!(number > -9.2e18 && number < 9.2e18))
        return false;
    *whole = (int64_t)number;
    return *whole >= to->low && *whole <= to->high &&
           !(*whole < 0 && type_unsigned(to));
}

/* Rounding keeps the order: the ends of a gap tell. */
struct rounded rounded_of(const struct type *real, int64_t value,
                          uint32_t how, const struct type *to)
{
    const struct rounded any = {to->low, to->high};
    double low, high;
    struct rounded made;

    if (value <= 0 || value >= real->high)
        return any;
    if (value % 2 == 1) {
        low = high = real_number(real, value);
    } else {
        low = nextafter(real_number(real, value - 1), INFINITY);
        high = nextafter(real_number(real, value + 1), -INFINITY);
        if (low > high) /* neighbours: nothing lies between */
            low = high;
    }
    if (!whole_number(whole_of(low, how), to, &made.low) ||
        !whole_number(whole_of(high, how), to, &made.high))
        return any;
    return made;
}
