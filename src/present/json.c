#include "present/json.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"

static bool needs_escape(uint32_t code)
{
    return code == '<' || code == '>' || code == '&' || code == '"' ||
           code == '\\' || code == 0x2028 || code == 0x2029;
}

void json_string(struct text *out, const char *string)
{
    size_t n = string == NULL ? 0 : strlen(string);

    text_add_char(out, '"');
    for (size_t i = 0; i < n;) {
        struct utf8_char c = utf8_next(string + i, n - i);

        if (!c.valid || c.code < 0x20 || (c.code >= 0x7f && c.code < 0xa0))
            text_add_char(out, '?');
        else if (needs_escape(c.code))
            text_printf(out, "\\u%04x", (unsigned)c.code);
        else
            text_add_bytes(out, string + i, c.bytes);
        i += c.bytes;
    }
    text_add_char(out, '"');
}

void json_member(struct text *out, const char *key, const char *string)
{
    text_printf(out, ",\"%s\":", key);
    json_string(out, string);
}
