#include "present/markup.h"

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
