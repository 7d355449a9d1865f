#include "present/xml.h"

#include <string.h>

#include "base/text.h"
#include "base/utf8.h"

void xml_add(struct text *out, const char *words)
{
    size_t n = strlen(words);

    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(words + i, n - i);

        if (!c.valid || c.code < 0x20 || c.code == 0x7f ||
            c.code == 0xfffe || c.code == 0xffff)
            text_add(out, "?");
        else if (c.code == '&')
            text_add(out, "&amp;");
        else if (c.code == '<')
            text_add(out, "&lt;");
        else if (c.code == '>')
            text_add(out, "&gt;");
        else
            text_add_bytes(out, words + i, c.bytes);
        i += c.bytes;
    }
}

size_t xml_line(const char *at, size_t columns)
{
    size_t n = strlen(at), used = 0, seen = 0, blank = 0;

    while (used < n) {
        struct utf8_char c = utf8_next(at + used, n - used);

        if (seen + c.columns > columns)
            return blank > 0 ? blank : used;
        if (at[used] == ' ')
            blank = used;
        seen += c.columns;
        used += c.bytes;
    }
    return n;
}
