#include "tests/support/mutant.h"

#include <ctype.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/text.h"

enum { MOST_MISTAKES = 4, MOST_WORDS = 12, MOST_DEPTH = 400, MOST_DIGITS = 60 };

struct range {
    size_t from, end;
};

/* Marsaglia, Xorshift RNGs, Journal of Statistical Software 8 (2003). */
static uint64_t draw(uint64_t *state, uint64_t n)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state % n;
}

static bool is_of_word(char c)
{
    return isalnum((unsigned char)c) || c == '_';
}

static size_t end_of_word(const char *text, size_t at)
{
    if (!is_of_word(text[at]))
        return text[at] == '\0' ? at : at + 1;
    while (is_of_word(text[at]))
        at++;
    return at;
}

/* So many words or single signs, with the blanks between them. */
static struct range words(const char *text, uint64_t *state, uint64_t most)
{
    size_t n = strlen(text);
    struct range range = {n == 0 ? 0 : draw(state, n), 0};
    uint64_t count = 1 + draw(state, most);

    while (range.from > 0 && is_of_word(text[range.from]) &&
           is_of_word(text[range.from - 1]))
        range.from--;
    range.end = range.from;
    while (count-- > 0)
        range.end = end_of_word(text, range.end);
    return range;
}

static void put(struct text *out, const char *text, struct range range)
{
    text_add_bytes(out, text + range.from, range.end - range.from);
}

/* What is taken out and what comes in its place. */
static void replace(const char *text, struct range range, const char *by,
                    size_t n, struct text *out)
{
    text_add_bytes(out, text, range.from);
    text_add_bytes(out, by, n);
    text_add(out, text + range.end);
}

static void exchange(const char *text, uint64_t *state, struct text *out)
{
    struct range a = words(text, state, 3), b = words(text, state, 3);

    if (a.from > b.from) {
        struct range c = a;

        a = b;
        b = c;
    }
    if (a.end > b.from) {
        text_add(out, text);
        return;
    }
    text_add_bytes(out, text, a.from);
    put(out, text, b);
    text_add_bytes(out, text + a.end, b.from - a.end);
    put(out, text, a);
    text_add(out, text + b.end);
}

static void nest(const char *text, uint64_t *state, struct text *out)
{
    static const char *const signs[][2] = {
        {"(", ")"}, {"NOT (", ")"}, {"(* ", " *)"}, {"[", "]"},
        {"IF TRUE THEN ", " END_IF;"}, {"a.", ""}, {"-", ""},
    };
    const char *const *sign =
        signs[draw(state, sizeof signs / sizeof *signs)];
    struct range range = words(text, state, 2);
    uint64_t depth = 1 + draw(state, MOST_DEPTH);

    text_add_bytes(out, text, range.from);
    for (uint64_t i = 0; i < depth; i++)
        text_add(out, sign[0]);
    put(out, text, range);
    for (uint64_t i = 0; i < depth; i++)
        text_add(out, sign[1]);
    text_add(out, text + range.end);
}

static void put_number(const char *text, uint64_t *state, struct text *out)
{
    static const char *const before[] = {"", "-", "16#", "2#", "T#", "INT#",
                                         "T#-", "1.0E", "'", "%I"};
    struct range range = words(text, state, 1);
    uint64_t n = 1 + draw(state, MOST_DIGITS);

    text_add_bytes(out, text, range.from);
    text_add(out, before[draw(state, sizeof before / sizeof *before)]);
    while (n-- > 0)
        text_printf(out, "%d", (int)draw(state, 10));
    text_add(out, text + range.end);
}

/* Any byte but the one that ends a text. */
static void change_byte(const char *text, uint64_t *state, struct text *out)
{
    char byte = (char)(1 + draw(state, 255));
    struct range range = words(text, state, 1);

    if (range.end > range.from)
        range.end = range.from + 1;
    replace(text, range, &byte, 1, out);
}

static void mistake(const char *text, const char *other, uint64_t *state,
                    struct text *out)
{
    struct range range, from;

    switch (draw(state, 10)) {
    case 0:
    case 1:
        replace(text, words(text, state, MOST_WORDS), "", 0, out);
        return;
    case 2:
        range = words(text, state, MOST_WORDS);
        text_add_bytes(out, text, range.end);
        text_add(out, text + range.from);
        return;
    case 3:
    case 4:
        range = words(text, state, 1);
        from = words(text, state, 1);
        replace(text, range, text + from.from, from.end - from.from, out);
        return;
    case 5:
        range = words(text, state, 2);
        from = words(other, state, MOST_WORDS);
        replace(text, range, other + from.from, from.end - from.from, out);
        return;
    case 6:
        exchange(text, state, out);
        return;
    case 7:
        nest(text, state, out);
        return;
    case 8:
        put_number(text, state, out);
        return;
    default:
        if (draw(state, 4) == 0)
            text_add_bytes(out, text, words(text, state, 1).from);
        else
            change_byte(text, state, out);
    }
}

void mutant_make(const char *text, const char *other, uint64_t seed,
                 struct text *out)
{
    uint64_t state = seed * UINT64_C(0x9e3779b97f4a7c15) + 1;
    struct text now = {0}, next = {0};
    uint64_t n = 1 + draw(&state, MOST_MISTAKES);

    text_add(&now, text);
    while (n-- > 0) {
        text_clear(&next);
        mistake(text_str(&now), other, &state, &next);
        text_clear(&now);
        text_add(&now, text_str(&next));
    }
    text_add(out, text_str(&now));
    text_release(&now);
    text_release(&next);
}
