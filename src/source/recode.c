#include "source/recode.h"

#include <errno.h>
#include <iconv.h>
#include <stdint.h>

#include "base/text.h"
#include "base/utf8.h"

/* What Windows-1252 has at 80..9F, by the table of the code page that the
 * Unicode consortium publishes (from memory); 0: nothing.  Above, it is
 * Latin-1, which is Unicode itself. */
static const uint16_t upper[32] = {
    0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021,
    0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017d, 0,
    0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014,
    0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178};

bool recode_is_utf8(const char *bytes, size_t n)
{
    for (size_t i = 0; i < n;) {
        struct utf8_char next;

        if (!((unsigned char)bytes[i] & 0x80)) {
            i++;
            continue;
        }
        next = utf8_next(bytes + i, n - i);
        if (!next.valid)
            return false;
        i += next.bytes;
    }
    return true;
}

static bool is_text(unsigned char c)
{
    if (c < 0x20)
        return c == '\t' || c == '\n' || c == '\r' || c == '\f' ||
               c == '\v' || c == 0x1a;
    return c < 0x80 || c > 0x9f || upper[c - 0x80];
}

static void add_code(struct text *out, uint32_t code)
{
    if (code >= 0x800)
        text_add_char(out, (char)(0xe0 | code >> 12));
    text_add_char(out, (char)(code >= 0x800 ? 0x80 | (code >> 6 & 0x3f)
                                            : 0xc0 | code >> 6));
    text_add_char(out, (char)(0x80 | (code & 0x3f)));
}

bool recode_windows(const char *bytes, size_t n, struct text *out)
{
    for (size_t i = 0; i < n;) {
        struct utf8_char next = utf8_next(bytes + i, n - i);

        if (next.bytes == 1 && !is_text((unsigned char)bytes[i]))
            return false;
        i += next.bytes;
    }
    for (size_t i = 0; i < n;) {
        unsigned char c = (unsigned char)bytes[i];
        struct utf8_char next = utf8_next(bytes + i, n - i);

        if (next.valid)
            text_add_bytes(out, bytes + i, next.bytes);
        else
            add_code(out, c > 0x9f ? c : upper[c - 0x80]);
        i += next.bytes;
    }
    return true;
}

/* ---- UTF-16 ---- */

bool recode_is_utf16(const char *bytes, size_t n)
{
    const unsigned char *at = (const unsigned char *)bytes;

    return n >= 2 && ((at[0] == 0xff && at[1] == 0xfe) ||
                      (at[0] == 0xfe && at[1] == 0xff));
}

/* What is malformed shows as U+FFFD, which no name and no sign holds. */
static void convert(iconv_t way, char *at, size_t left, struct text *out)
{
    char piece[4096];

    while (left > 0) {
        char *to = piece;
        size_t room = sizeof piece;
        bool stuck = iconv(way, &at, &left, &to, &room) == (size_t)-1 &&
                     errno != E2BIG;

        text_add_bytes(out, piece, (size_t)(to - piece));
        if (stuck) {
            size_t skipped = left < 2 ? left : 2;

            text_add(out, "\xef\xbf\xbd");
            at += skipped;
            left -= skipped;
        }
    }
}

bool recode_utf16(const char *bytes, size_t n, struct text *out)
{
    bool big = (unsigned char)bytes[0] == 0xfe;
    iconv_t way = iconv_open("UTF-8", big ? "UTF-16BE" : "UTF-16LE");

    if (way == (iconv_t)-1)
        return false;
    convert(way, (char *)bytes + 2, n - 2, out);
    iconv_close(way);
    return true;
}
