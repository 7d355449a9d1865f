#include "source/stamp.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

enum { DIGITS = 15 };

static const int64_t DAY = 86400000;

enum stamp_unit stamp_unit_of(const char *heading)
{
    size_t n = strlen(heading);

    while (n > 0 && strchr(")] ", heading[n - 1]) != NULL)
        n--;
    if (n < 2 || strncasecmp(heading + n - 2, "ms", 2) != 0)
        return STAMP_SECONDS;
    return n == 2 || !isalpha((unsigned char)heading[n - 3])
               ? STAMP_MILLISECONDS : STAMP_SECONDS;
}

bool stamp_is_heading(const char *heading)
{
    static const char *const names[] = {
        "time", "t", "timestamp", "date", "datetime", "date time", "zeit",
        "uhrzeit", "zeitstempel", "heure", "ora", "ms", "s"};
    size_t n = strcspn(heading, "[(");

    while (n > 0 && strchr(" _", heading[n - 1]) != NULL)
        n--;
    if (n > 3 && strncasecmp(heading + n - 3, "_ms", 3) == 0)
        n -= 3;
    else if (n > 2 && strncasecmp(heading + n - 2, "_s", 2) == 0)
        n -= 2;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (n == strlen(names[i]) && strncasecmp(heading, names[i], n) == 0)
            return true;
    return false;
}

/* least to most digits; NULL: there are not. */
static const char *digits(const char *at, int least, int most, int64_t *value)
{
    int n = 0;

    for (*value = 0; n < most && isdigit((unsigned char)*at); n++)
        *value = *value * 10 + (*at++ - '0');
    return n < least ? NULL : at;
}

/* The fraction behind a point or comma, of units of so many; any number of
 * digits. */
static const char *fraction(const char *at, int64_t unit, int64_t *value)
{
    *value = 0;
    if (*at != '.' && *at != ',')
        return at;
    for (at++; isdigit((unsigned char)*at); at++) {
        unit /= 10;
        *value += unit * (*at - '0');
    }
    return at;
}

/* Days from 1 March of the year 0 on, in the calendar of today. */
static int64_t days_of(int64_t year, int64_t month, int64_t day)
{
    int64_t shifted = (month + 9) % 12;

    year -= month < 3;
    return 365 * year + year / 4 - year / 100 + year / 400 +
           (153 * shifted + 2) / 5 + day - 1;
}

static const char *date(const char *at, int64_t *days)
{
    int64_t first, month, last;
    const char *to = digits(at, 1, 4, &first);
    bool year_first = to != NULL && to - at == 4;
    char mark = year_first ? '-' : '.';

    if (to == NULL || *to != mark || (to = digits(to + 1, 1, 2, &month)) == NULL
        || *to != mark || (to = digits(to + 1, 1, 4, &last)) == NULL)
        return NULL;
    if (month < 1 || month > 12 || (year_first ? last : first) < 1 ||
        (year_first ? last : first) > 31)
        return NULL;
    *days = year_first ? days_of(first, month, last)
                       : days_of(last, month, first);
    return to;
}

static const char *time_of_day(const char *at, int64_t *ms)
{
    int64_t hours, minutes, seconds, rest;

    if ((at = digits(at, 1, 2, &hours)) == NULL || *at != ':' ||
        (at = digits(at + 1, 2, 2, &minutes)) == NULL || *at != ':' ||
        (at = digits(at + 1, 2, 2, &seconds)) == NULL)
        return NULL;
    if (hours > 23 || minutes > 59 || seconds > 60)
        return NULL;
    at = fraction(at, 1000, &rest);
    *ms = ((hours * 60 + minutes) * 60 + seconds) * 1000 + rest;
    return at;
}

static bool number(const char *at, enum stamp_unit unit, int64_t *ms)
{
    int64_t whole, rest, scale = unit == STAMP_SECONDS ? 1000 : 1;

    if ((at = digits(at, 1, DIGITS, &whole)) == NULL)
        return false;
    at = fraction(at, scale, &rest);
    *ms = whole * scale + rest;
    return *at == '\0';
}

bool stamp_read(const char *field, enum stamp_unit unit, int64_t *ms,
                bool *day_only)
{
    int64_t days = 0;
    const char *at = field, *behind;

    *day_only = false;
    if (strchr(field, ':') == NULL)
        return number(field, unit, ms);
    behind = date(field, &days);
    *day_only = behind == NULL;
    if (behind != NULL) {
        if (*behind != ' ' && *behind != 'T')
            return false;
        at = behind + 1;
    }
    at = time_of_day(at, ms);
    if (at == NULL || *at != '\0')
        return false;
    *ms += days * DAY;
    return true;
}
