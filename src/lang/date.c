#include "lang/date.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

struct rest {
    const char *at, *end;
};

/* Digits, _ between them; beyond 9999 they stay there. */
static bool number(struct rest *rest, uint32_t least, uint32_t most)
{
    uint32_t value = 0;
    const char *from = rest->at;

    for (; rest->at < rest->end && (isdigit((unsigned char)*rest->at) ||
                                    *rest->at == '_'); rest->at++)
        if (*rest->at != '_' && value < 10000)
            value = value * 10 + (uint32_t)(*rest->at - '0');
    return rest->at > from && value >= least && value <= most;
}

static bool sign(struct rest *rest, char wanted)
{
    if (rest->at == rest->end || *rest->at != wanted)
        return false;
    rest->at++;
    return true;
}

static uint32_t read_two(const char *at, const char *end)
{
    uint32_t value = 0;

    for (; at < end; at++)
        if (*at != '_')
            value = value * 10 + (uint32_t)(*at - '0');
    return value;
}

static bool is_date(struct rest *rest)
{
    static const uint32_t days[] = {31, 29, 31, 30, 31, 30,
                                    31, 31, 30, 31, 30, 31};
    const char *from = rest->at;
    uint32_t year, month;

    if (!number(rest, 1, 9999))
        return false;
    year = read_two(from, rest->at);
    if (!sign(rest, '-'))
        return false;
    from = rest->at;
    if (!number(rest, 1, 12))
        return false;
    month = read_two(from, rest->at);
    if (month == 2 && (year % 4 != 0 || (year % 100 == 0 && year % 400 != 0)))
        return sign(rest, '-') && number(rest, 1, 28);
    return sign(rest, '-') && number(rest, 1, days[month - 1]);
}

/* The seconds, and a part of one, may be left out. */
static bool is_time(struct rest *rest)
{
    if (!number(rest, 0, 23) || !sign(rest, ':') || !number(rest, 0, 59))
        return false;
    if (!sign(rest, ':'))
        return true;
    return number(rest, 0, 59) &&
           (!sign(rest, '.') || number(rest, 0, UINT32_MAX));
}

enum date_fault date_of(const char *text, size_t n)
{
    const char *hash = memchr(text, '#', n);
    struct rest rest = {hash + 1, text + n};
    char kind = (char)tolower((unsigned char)*text);
    size_t letters = (size_t)(hash - text);

    if (kind == 'l') {
        kind = (char)tolower((unsigned char)text[1]);
        letters--;
    }
    if (kind == 't')
        return is_time(&rest) && rest.at == rest.end ? DATE_GOOD
                                                     : DATE_NO_TIME;
    if (letters == 1 || letters == 4) /* D, DATE; not DT, DATE_AND_TIME */
        return is_date(&rest) && rest.at == rest.end ? DATE_GOOD
                                                     : DATE_NO_DATE;
    return is_date(&rest) && sign(&rest, '-') && is_time(&rest) &&
                   rest.at == rest.end ? DATE_GOOD : DATE_NEITHER;
}
