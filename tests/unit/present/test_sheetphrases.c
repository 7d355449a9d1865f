/* The table of words of the test sheet: whole in both languages, each German
 * phrase with the same gaps and no English word in it. */
#include "present/sheetphrases.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>

#include <cmocka.h>

#include "base/arena.h"
#include "base/text.h"
#include "present/wordtable.h"

static unsigned gaps(const char *words)
{
    unsigned n = 0;

    for (; (words = strstr(words, "{}")) != NULL; words += 2)
        n++;
    return n;
}

static void test_both_languages(void **unused)
{
    const struct wordtable *table = sheetphrases_table();

    (void)unused;
    for (size_t i = 0; i < table->n; i++) {
        const struct wordrow *row = &table->rows[i];

        assert_true(row->key[0] != '\0');
        assert_true(row->en != NULL && row->en[0] != '\0');
        assert_true(row->de != NULL && row->de[0] != '\0');
        assert_int_equal(gaps(row->en), gaps(row->de));
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(row->key, table->rows[k].key);
    }
}

/* Names of commands and options stand in any language, and what both
 * languages write in the same way. */
static const char *const in_both[] = {
    "keepclear", "check", "faults", "match", "situations", "memory", "SHA", "MC",
    "DC",
    "Performance", "Level", "Interpreter", "Situation", "Person", "Name",
    "Text", "Hand", "was", "so", "in", "T", "ms", "s",
    "not" /* of Not-Halt */};

static bool is_in_both(const char *word, size_t n)
{
    for (size_t i = 0; i < sizeof in_both / sizeof *in_both; i++)
        if (strlen(in_both[i]) == n && strncasecmp(in_both[i], word, n) == 0)
            return true;
    return false;
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (unsigned char)c >= 0x80;
}

/* The next word of letters; n: how long it is, 0: there is none. */
static const char *next_word(const char *at, size_t *n)
{
    while (*at != '\0' && !is_letter(*at))
        at++;
    for (*n = 0; is_letter(at[*n]); ++*n)
        ;
    return at;
}

static bool has_word(const char *words, const char *word, size_t n)
{
    size_t length;

    for (const char *at = next_word(words, &length); length > 0;
         at = next_word(at + length, &length))
        if (length == n && strncasecmp(at, word, n) == 0)
            return true;
    return false;
}

/* No word of any English phrase stands in a German one. */
static void test_no_english_word(void **unused)
{
    const struct wordtable *table = sheetphrases_table();
    size_t n;

    (void)unused;
    for (size_t i = 0; i < table->n; i++) {
        if (strcmp(table->rows[i].key, "language") == 0)
            continue;
        for (const char *at = next_word(table->rows[i].de, &n); n > 0;
             at = next_word(at + n, &n))
            for (size_t k = 0; k < table->n && !is_in_both(at, n); k++)
                if (has_word(table->rows[k].en, at, n))
                    fail_msg("%s: %.*s", table->rows[i].key, (int)n, at);
    }
}

static void says(const struct words *words, uint32_t ms, const char *wanted)
{
    struct text out = {0};

    sheetphrases_seconds(&out, words, ms);
    assert_string_equal(text_str(&out), wanted);
    text_release(&out);
}

/* Figures with the decimal sign of the language. */
static void test_figures(void **unused)
{
    struct arena *arena = arena_new();
    struct words *english = wordtable_language(arena, sheetphrases_table(),
                                               "en");
    struct words *german = wordtable_language(arena, sheetphrases_table(),
                                              "de");
    struct text out = {0};

    (void)unused;
    says(english, 1500, "1.5");
    says(german, 200, "0,2");
    sheetphrases_number(&out, german, "wait", 2);
    assert_string_equal(text_str(&out), "mindestens 2 s warten");
    text_clear(&out);
    sheetphrases_put(&out, german, "turn", "Hebel", "Zu");
    assert_string_equal(text_str(&out), "Hebel auf Zu stellen");
    text_release(&out);
    arena_free(arena);
}

/* A mistake in a user's table names the command that lists the keys. */
static void test_mistake(void **unused)
{
    struct arena *arena = arena_new();
    struct words *words = wordtable_language(arena, sheetphrases_table(),
                                             "de");

    (void)unused;
    assert_string_equal(wordtable_read(arena, words, "hold = {}\nheld = x", 18),
                        "line 2 of the words: there is no key 'held'; "
                        "`keepclear testsheet --as words FILE` lists them");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_both_languages),
        cmocka_unit_test(test_no_english_word),
        cmocka_unit_test(test_figures),
        cmocka_unit_test(test_mistake),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
