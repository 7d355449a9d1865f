#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <string.h>

#include "base/text.h"
#include "base/utf8.h"

static void grows_and_ends_in_nul(void **state)
{
    struct text text = {0};

    (void)state;
    assert_string_equal(text_str(&text), "");
    text_add(&text, "gate");
    text_add_char(&text, ' ');
    text_printf(&text, "%d%%", 25);
    text_pad(&text, '.', 3);
    assert_string_equal(text_str(&text), "gate 25%...");
    assert_int_equal(text.n, 11);
    text_clear(&text);
    assert_string_equal(text_str(&text), "");
    for (int i = 0; i < 5000; i++)
        text_printf(&text, "%d,", i % 10);
    assert_int_equal(text.n, 10000);
    assert_int_equal(strlen(text_str(&text)), 10000);
    text_release(&text);
    assert_string_equal(text_str(&text), "");
    text_release(&text);
}

static void carries_nul_bytes(void **state)
{
    struct text text = {0};

    (void)state;
    text_add_bytes(&text, "a\0b", 3);
    text_add_bytes(&text, NULL, 0);
    assert_int_equal(text.n, 3);
    assert_memory_equal(text.at, "a\0b", 4);
    text_release(&text);
}

static void columns_are_those_of_a_terminal(void **state)
{
    static const struct {
        const char *bytes;
        size_t columns;
    } cases[] = {
        {"", 0},
        {"gate", 4},
        {"h\xc3\xbclse", 5},     /* u with diaeresis */
        {"u\xcc\x88", 1},        /* u, combining diaeresis */
        {"\xe9\x96\x80", 2},     /* the ideograph for gate */
        {"\xf0\x9f\x9a\x9b", 2}, /* a lorry */
        {"\xe2\x82\xac", 1},     /* euro sign */
        {"\xff\xfe", 2},         /* never valid */
        {"\xc0\x80", 2},         /* overlong */
        {"\xed\xa0\x80", 3},     /* surrogate */
        {"\xe9\x96", 2},         /* cut off */
        {"\xf4\x90\x80\x80", 4}, /* beyond the last */
    };

    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(
            text_columns(cases[i].bytes, strlen(cases[i].bytes)),
            cases[i].columns);
}

static void characters_are_decoded(void **state)
{
    struct utf8_char c = utf8_next("\xe9\x96\x80x", 4);

    (void)state;
    assert_int_equal(c.code, 0x9580);
    assert_int_equal(c.bytes, 3);
    assert_true(c.valid);
    c = utf8_next("\xe9\x96\x80x", 2);
    assert_int_equal(c.code, 0xe9);
    assert_int_equal(c.bytes, 1);
    assert_false(c.valid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grows_and_ends_in_nul),
        cmocka_unit_test(carries_nul_bytes),
        cmocka_unit_test(columns_are_those_of_a_terminal),
        cmocka_unit_test(characters_are_decoded),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
