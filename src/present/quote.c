#include "present/quote.h"

#include <ctype.h>

#include "base/text.h"

void quote_span(struct text *out, const struct sources *sources,
                struct span span)
{
    size_t n;
    const char *at;
    bool blank = false;

    if (span.file == 0)
        return;
    at = sources_text(sources, span.file, &n);
    for (size_t i = span.from; i < span.to && i < n; i++) {
        if (isspace((unsigned char)at[i])) {
            blank = true;
            continue;
        }
        if (blank)
            text_add_char(out, ' ');
        blank = false;
        text_add_char(out, at[i]);
    }
}

void quote_place(struct text *out, const struct sources *sources,
                 struct span span)
{
    struct place place = sources_place(sources, span);

    text_printf(out, "%s, line %u", place.path, place.line);
}
