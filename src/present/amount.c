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

void amount_seconds(struct text *out, int64_t milliseconds)
{
    uint64_t size = milliseconds < 0 ? 0 - (uint64_t)milliseconds
                                     : (uint64_t)milliseconds;
    char digits[32];
    int n = snprintf(digits, sizeof digits, "%" PRIu64 ".%03" PRIu64,
                     size / 1000, size % 1000);

    while (digits[n - 1] == '0' && digits[n - 2] != '.')
        digits[--n] = '\0';
    text_printf(out, "%s%s s", milliseconds < 0 ? "-" : "", digits);
}

void amount_of(struct text *out, uint64_t number, const char *noun)
{
    amount_add(out, number);
    text_printf(out, " %s%s", noun, number == 1 ? "" : "s");
}
