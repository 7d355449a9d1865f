/* Windows-1252 to UTF-8.  The pairs are those of iconv (glibc 2.36). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "source/recode.h"

static void gives(const char *bytes, const char *wanted)
{
    struct text out = {0};

    assert_false(recode_is_utf8(bytes, strlen(bytes)));
    assert_true(recode_windows(bytes, strlen(bytes), &out));
    assert_string_equal(text_str(&out), wanted);
    assert_true(recode_is_utf8(text_str(&out), out.n));
    text_release(&out);
}

static void letters_and_signs(void **state)
{
    (void)state;
    gives("T\xfcr", "T\xc3\xbcr");
    gives("\xc4\xd6\xdc\xe4\xf6\xfc\xdf",
          "\xc3\x84\xc3\x96\xc3\x9c\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f");
    gives("5 \x80", "5 \xe2\x82\xac");             /* euro sign */
    gives("\x84zu\x93", "\xe2\x80\x9ezu\xe2\x80\x9c"); /* quotes */
    gives("1 \x96 2 \xb0\x43", "1 \xe2\x80\x93 2 \xc2\xb0\x43");
}

static void pieces_of_both_kinds(void **state)
{
    (void)state;
    gives("T\xc3\xbcr T\xfcr", "T\xc3\xbcr T\xc3\xbcr");
}

static void what_is_no_text_stays(void **state)
{
    struct text out = {0};

    (void)state;
    assert_false(recode_windows("a\x81", 2, &out));
    assert_false(recode_windows("a\xff\0", 3, &out));
    assert_false(recode_windows("\x01\xfc", 2, &out));
    assert_int_equal(out.n, 0);
    assert_true(recode_is_utf8("plain", 5));
    assert_true(recode_is_utf8("\xe2\x82\xac", 3));
    assert_false(recode_is_utf8("\xe2\x82", 2));
}

static void gives_wide(const char *bytes, size_t n, const char *wanted)
{
    struct text out = {0};

    assert_true(recode_is_utf16(bytes, n));
    assert_true(recode_utf16(bytes, n, &out));
    assert_string_equal(text_str(&out), wanted);
    assert_true(recode_is_utf8(text_str(&out), out.n));
    text_release(&out);
}

/* The examples of RFC 2781, 5.1 (from memory): U+12345 is D808 DF45. */
static void texts_in_utf_16(void **state)
{
    (void)state;
    gives_wide("\xff\xfeT\0\xfc\0", 6, "T\xc3\xbc");
    gives_wide("\xfe\xff\0T\0\xfc", 6, "T\xc3\xbc");
    gives_wide("\xfe\xff\xd8\x08\xdf\x45\0=", 8, "\xf0\x92\x8d\x85=");
    gives_wide("\xff\xfe", 2, "");
    assert_false(recode_is_utf16("\xff", 1));
    assert_false(recode_is_utf16("\xef\xbb\xbfx", 4));
}

/* Half a character, and half of a pair. */
static void malformed_utf_16_shows(void **state)
{
    (void)state;
    gives_wide("\xff\xfe" "a\0b", 5, "a\xef\xbf\xbd");
    gives_wide("\xff\xfe\x08\xd8" "a\0", 6, "\xef\xbf\xbd" "a");
}

/* Longer than one piece of the conversion. */
static void long_texts_in_utf_16(void **state)
{
    struct text wide = {0}, plain = {0};

    (void)state;
    text_add_bytes(&wide, "\xff\xfe", 2);
    for (int i = 0; i < 5000; i++) {
        text_add_bytes(&wide, "\xac\x20", 2);
        text_add(&plain, "\xe2\x82\xac");
    }
    gives_wide(text_str(&wide), wide.n, text_str(&plain));
    text_release(&wide);
    text_release(&plain);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(letters_and_signs),
        cmocka_unit_test(pieces_of_both_kinds),
        cmocka_unit_test(what_is_no_text_stays),
        cmocka_unit_test(texts_in_utf_16),
        cmocka_unit_test(malformed_utf_16_shows),
        cmocka_unit_test(long_texts_in_utf_16),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
