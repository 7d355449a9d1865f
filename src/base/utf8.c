#include "base/utf8.h"

#include "base/ensure.h"

struct range {
    uint32_t from, to;
};

/* Blocks of the Unicode standard, from memory, not the whole property
 * tables: enough to set an underline under what people write in comments
 * and names. */
static const struct range combining[] = {
    {0x0300, 0x036f}, {0x0483, 0x0489}, {0x0591, 0x05bd}, {0x0610, 0x061a},
    {0x064b, 0x065f}, {0x0e34, 0x0e3a}, {0x0e47, 0x0e4e}, {0x1ab0, 0x1aff},
    {0x1dc0, 0x1dff}, {0x200b, 0x200f}, {0x20d0, 0x20ff}, {0xfe00, 0xfe0f},
    {0xfe20, 0xfe2f}, {0xfeff, 0xfeff},
};

static const struct range wide[] = {
    {0x1100, 0x115f},   {0x2e80, 0x303e},   {0x3041, 0x33ff},
    {0x3400, 0x4dbf},   {0x4e00, 0x9fff},   {0xa000, 0xa4cf},
    {0xac00, 0xd7a3},   {0xf900, 0xfaff},   {0xfe30, 0xfe6f},
    {0xff00, 0xff60},   {0xffe0, 0xffe6},   {0x1f300, 0x1f64f},
    {0x1f680, 0x1f6c5}, {0x1f900, 0x1f9ff}, {0x20000, 0x3fffd},
};

static bool within(uint32_t code, const struct range *ranges, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (code >= ranges[i].from && code <= ranges[i].to)
            return true;
    return false;
}

static unsigned columns_of(uint32_t code)
{
    if (code < 0x300)
        return 1;
    if (within(code, combining, sizeof combining / sizeof *combining))
        return 0;
    return within(code, wide, sizeof wide / sizeof *wide) ? 2 : 1;
}

/* Bytes that a first byte announces; 0 when none begins so. */
static unsigned announced(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first >= 0xc2 && first < 0xe0)
        return 2;
    if (first >= 0xe0 && first < 0xf0)
        return 3;
    return first >= 0xf0 && first < 0xf5 ? 4 : 0;
}

static bool allowed(uint32_t code, unsigned bytes)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};

    return code >= least[bytes] && code <= 0x10ffff &&
           !(code >= 0xd800 && code <= 0xdfff);
}

struct utf8_char utf8_next(const char *bytes, size_t n)
{
    unsigned char first = n > 0 ? (unsigned char)bytes[0] : 0;
    struct utf8_char bad = {first, 1, 1, false};
    unsigned length = announced(first);
    uint32_t code = length < 2 ? first : first & (0xffu >> (length + 1));

    ENSURE(n > 0);
    if (length == 0 || length > n)
        return bad;
    for (unsigned i = 1; i < length; i++) {
        unsigned char c = (unsigned char)bytes[i];

        if ((c & 0xc0) != 0x80)
            return bad;
        code = code << 6 | (c & 0x3f);
    }
    if (!allowed(code, length))
        return bad;
    return (struct utf8_char){code, length, columns_of(code), true};
}

/* Letters of the blocks that languages of Europe and East Asia are written
 * in, from memory; no signs among them. */
static const struct range letters[] = {
    {0x00aa, 0x00aa}, {0x00b5, 0x00b5}, {0x00ba, 0x00ba}, {0x00c0, 0x00d6},
    {0x00d8, 0x00f6}, {0x00f8, 0x024f}, {0x0370, 0x0373}, {0x0386, 0x0386},
    {0x0388, 0x03ff}, {0x0400, 0x0481}, {0x048a, 0x052f}, {0x3041, 0x3096},
    {0x30a1, 0x30fa}, {0x4e00, 0x9fff}, {0xac00, 0xd7a3},
};

bool utf8_is_letter(uint32_t code)
{
    return within(code, letters, sizeof letters / sizeof *letters);
}

/* Capitals that stand alternately with their small letters. */
static bool in_turn(uint32_t code)
{
    bool even = code % 2 == 0;

    return (even && ((code >= 0x100 && code <= 0x12e) ||
                     (code >= 0x132 && code <= 0x136) ||
                     (code >= 0x14a && code <= 0x176))) ||
           (!even && ((code >= 0x139 && code <= 0x147) ||
                      (code >= 0x179 && code <= 0x17d)));
}

uint32_t utf8_small(uint32_t code)
{
    if ((code >= 0xc0 && code <= 0xde && code != 0xd7) ||
        (code >= 0x391 && code <= 0x3a9 && code != 0x3a2) ||
        (code >= 0x410 && code <= 0x42f))
        return code + 0x20;
    if (code >= 0x400 && code <= 0x40f)
        return code + 0x50;
    if (code == 0x178)
        return 0xff;
    return in_turn(code) ? code + 1 : code;
}
