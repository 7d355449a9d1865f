/* Strings in JSON that can do nothing inside a page. */
#include "present/json.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/text.h"

static void becomes(const char *string, const char *wanted)
{
    struct text out = {0};

    json_string(&out, string);
    assert_string_equal(text_str(&out), wanted);
    text_release(&out);
}

static void test_strings(void **unused)
{
    (void)unused;
    becomes("gate \xc3\xbc", "\"gate \xc3\xbc\"");
    becomes(NULL, "\"\"");
    becomes("a\"b\\c", "\"a\\u0022b\\u005cc\"");
    becomes("</script><!-- &", "\"\\u003c/script\\u003e\\u003c!-- "
                               "\\u0026\"");
    becomes("a\nb\x7f", "\"a?b?\"");
    becomes("\xff\xc3", "\"??\"");
    becomes("\xe2\x80\xa8", "\"\\u2028\"");
}

static void test_member(void **unused)
{
    struct text out = {0};

    (void)unused;
    json_member(&out, "title", "x");
    assert_string_equal(text_str(&out), ",\"title\":\"x\"");
    text_release(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_strings),
        cmocka_unit_test(test_member),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
