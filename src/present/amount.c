#include "present/amount.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"

void amount_add(struct text *out, uint64_t number)
{
    char digits[32];
    int n = snprintf(digits, sizeof digits, "%" PRIu64, number);

    for (int i = 0; i < n; i++) {
        if (i > 0 && (n - i) % 3 == 0)
            text_add_char(out, ',');
        text_add_char(out, digits[i]);
    }
}

/* Seconds with at least `least` of three decimals. */
static void add_seconds(struct text *out, int64_t milliseconds, int least)
{
    uint64_t size = milliseconds < 0 ? 0 - (uint64_t)milliseconds
                                     : (uint64_t)milliseconds;
    char digits[32];
    int n = snprintf(digits, sizeof digits, "%" PRIu64 ".%03" PRIu64,
                     size / 1000, size % 1000);

    for (int shown = 3; shown > least && digits[n - 1] == '0'; shown--)
        digits[--n] = '\0';
    text_printf(out, "%s%s s", milliseconds < 0 ? "-" : "", digits);
}

void amount_seconds(struct text *out, int64_t milliseconds)
{
    add_seconds(out, milliseconds, 1);
}

void amount_span(struct text *out, int64_t least, int64_t most)
{
    if (least != most) {
        amount_seconds(out, least);
        text_add(out, " to ");
    }
    amount_seconds(out, most);
}

void amount_seconds_in(struct text *out, int64_t milliseconds, int64_t step)
{
    add_seconds(out, milliseconds,
                step % 100 == 0 ? 1 : step % 10 == 0 ? 2 : 3);
}

void amount_long(struct text *out, uint64_t milliseconds)
{
    static const struct {
        const char *name;
        uint64_t milliseconds;
    } units[] = {{"years", 31557600000}, {"days", 86400000},
                 {"hours", 3600000}, {"minutes", 60000}, {"seconds", 1000}};
    uint64_t i = 0, tenths;

    while (i < 4 && milliseconds < units[i].milliseconds)
        i++;
    tenths = milliseconds / (units[i].milliseconds / 10);
    if (tenths > 10000000)
        tenths = 10000000;
    amount_add(out, tenths / 10);
    if (tenths < 1000)
        text_printf(out, ".%u", (unsigned)(tenths % 10));
    text_printf(out, " %s", units[i].name);
}

void amount_of(struct text *out, uint64_t number, const char *noun)
{
    amount_add(out, number);
    text_printf(out, " %s%s", noun, number == 1 ? "" : "s");
}
