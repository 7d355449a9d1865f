/* Letters beyond ASCII.  The judge is the C library's own table of characters,
 * in its locale C.UTF-8. */
#include <locale.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <wctype.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/utf8.h"

enum { BEYOND = 0x10000 };

static int judge_is_there(void **state)
{
    (void)state;
    return setlocale(LC_CTYPE, "C.UTF-8") ? 0 : -1;
}

/* The other way round as well where capitals are told at all. */
static void small_letters_are_those_of_the_library(void **state)
{
    uint32_t pairs = 0;

    (void)state;
    for (uint32_t code = 0x80; code < BEYOND; code++) {
        uint32_t small = utf8_small(code);

        if (small == code)
            continue;
        pairs++;
        assert_int_equal(small, towlower((wint_t)code));
        assert_true(code < 0x800 && small < 0x800);
    }
    for (uint32_t code = 0xc0; code < 0x180; code++)
        if (code != 0x130) /* its small letter is of ASCII */
            assert_int_equal(utf8_small(code), towlower((wint_t)code));
    for (uint32_t code = 0x391; code < 0x3ab - 1; code++)
        assert_int_equal(utf8_small(code), towlower((wint_t)code));
    for (uint32_t code = 0x400; code < 0x430; code++)
        assert_int_equal(utf8_small(code), towlower((wint_t)code));
    assert_true(pairs > 150);
}

/* No sign is a letter; not every letter is read. */
static void letters_are_letters_of_the_library(void **state)
{
    uint32_t letters = 0;

    (void)state;
    for (uint32_t code = 0x80; code < BEYOND; code++)
        if (utf8_is_letter(code)) {
            letters++;
            if (!iswalpha((wint_t)code))
                assert_true(code == 0x375 || code == 0x378 ||
                            code == 0x379 || (code >= 0x380 &&
                                              code <= 0x3ff));
        }
    assert_true(letters > 20000);
    assert_false(utf8_is_letter(0xd7));   /* multiplication */
    assert_false(utf8_is_letter(0x2192)); /* arrow */
    assert_false(utf8_is_letter(0xfffd));
}

static void names_do_not_regard_case(void **state)
{
    struct arena *arena = arena_new();
    struct names *names = names_new(arena);
    const struct name *name = names_of(names, "T\xc3\xbcR_\xd0\xaf");

    (void)state;
    assert_ptr_equal(name, names_of(names, "t\xc3\x9cr_\xd1\x8f"));
    assert_string_equal(name->spelling, "T\xc3\xbcR_\xd0\xaf");
    assert_ptr_not_equal(name, names_of(names, "tur_\xd1\x8f"));
    names_free(names);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(small_letters_are_those_of_the_library),
        cmocka_unit_test(letters_are_letters_of_the_library),
        cmocka_unit_test(names_do_not_regard_case),
    };

    return cmocka_run_group_tests(tests, judge_is_there, NULL);
}
