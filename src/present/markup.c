#include "present/markup.h"

#include <string.h>

#include "base/text.h"
#include "base/utf8.h"

void markup_add(struct text *out, const char *at, size_t n)
{
    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(at + i, n - i);

        if (!c.valid || c.code < 0x20 || c.code == 0x7f ||
            (c.code >= 0x80 && c.code < 0xa0) || c.code == 0xfffe ||
            c.code == 0xffff)
            text_add(out, "?");
        else if (c.code == '&')
            text_add(out, "&amp;");
        else if (c.code == '<')
            text_add(out, "&lt;");
        else if (c.code == '>')
            text_add(out, "&gt;");
        else if (c.code == '"')
            text_add(out, "&quot;");
        else
            text_add_bytes(out, at + i, c.bytes);
        i += c.bytes;
    }
}

size_t markup_line(const char *at, size_t columns)
{
    size_t n = strlen(at), used = 0, seen = 0, last = 0;

    while (used < n) {
        struct utf8_char c = utf8_next(at + used, n - used);

        if (seen + c.columns > columns)
            return last > 0 ? last : used;
        if (at[used] == ' ' || (used > 0 && at[used - 1] == '.'))
            last = used;
        seen += c.columns;
        used += c.bytes;
    }
    return n;
}
