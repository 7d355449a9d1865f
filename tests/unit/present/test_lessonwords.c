/* The table of words of the trainer's page, and a user's in its place. */
#include "present/lessonwords.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/wordtable.h"

static struct arena *arena;

static struct words *language(const char *name)
{
    return wordtable_language(arena, lessonwords_table(), name);
}

static void put(const struct words *words, const char *key,
                const char *first, const char *second, const char *wanted)
{
    struct text out = {0};

    lessonwords_put(&out, words, key, first, second);
    assert_string_equal(text_str(&out), wanted);
    text_release(&out);
}

static void test_languages(void **unused)
{
    (void)unused;
    put(language("en"), "becomes", "gap", "Shut",
        "gap becomes Shut");
    put(language("de"), "hold_on", "Taster", NULL,
        "Taster drücken und halten");
    assert_null(language("xx"));
}

/* What is put in is not looked at again. */
static void test_gaps(void **unused)
{
    (void)unused;
    put(language("en"), "becomes", "{}", "{} {}",
        "{} becomes {} {}");
}

static const char *reads(struct words *words, const char *lines)
{
    return wordtable_read(arena, words, lines, strlen(lines));
}

static void test_own_words(void **unused)
{
    struct words *words = language("en");

    (void)unused;
    assert_null(reads(words, "# mine\n\n  run  =  go on = on \r\n"
                             "becomes = now {}: {}"));
    assert_string_equal(lessonwords_of(words, "run"), "go on = on");
    put(words, "becomes", "gap", "Shut", "now gap: Shut");
    assert_string_equal(lessonwords_of(words, "pause"), "pause");
}

static void test_mistakes(void **unused)
{
    struct words *words = language("en");

    (void)unused;
    assert_string_equal(reads(words, "\nrun"),
                        "line 2 of the words: write `key = words`, or # "
                        "before a remark");
    assert_string_equal(reads(words, "ran = x"),
                        "line 1 of the words: there is no key 'ran'; "
                        "`keepclear lesson --as words FILE` lists them");
    assert_string_equal(reads(words, "becomes = {}"),
                        "line 1 of the words: 'becomes' needs {} as often "
                        "as in '{} becomes {}'");
}

/* What --as words writes is read again, in each language, and holds the same
 * number of gaps. */
static void test_round(void **unused)
{
    static const char *const languages[] = {"en", "de"};

    (void)unused;
    for (int i = 0; i < 2; i++) {
        struct words *words = language("en");
        struct text lines = {0}, again = {0};

        wordtable_lines(&lines, language(languages[i]));
        assert_null(wordtable_read(arena, words, text_str(&lines),
                                     lines.n));
        wordtable_lines(&again, words);
        assert_string_equal(text_str(&again), text_str(&lines));
        text_release(&lines);
        text_release(&again);
    }
}

static int begin(void **unused)
{
    (void)unused;
    arena = arena_new();
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_languages), cmocka_unit_test(test_gaps),
        cmocka_unit_test(test_own_words), cmocka_unit_test(test_mistakes),
        cmocka_unit_test(test_round),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
