/* Titles in another language: a table of them is complete, and nothing of the
 * titles that it takes the place of is left on a sheet or a page. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "tests/support/shell.h"

#define REVIEW "models/tailgate/tailgate.review"
#define NAMES "models/tailgate/names.de"

enum { MOST_TITLES = 200, LONGEST = 200 };

struct titles {
    char name[MOST_TITLES][LONGEST], title[MOST_TITLES][LONGEST];
    size_t n;
};

/* Lines `name = title` of what the last command wrote. */
static void read_titles(struct titles *titles)
{
    const char *line = shell_output(), *end;

    titles->n = 0;
    for (; (end = strchr(line, '\n')) != NULL; line = end + 1)
        if (*line != '#' && titles->n < MOST_TITLES &&
            sscanf(line, "%199[^=]= %199[^\n]", titles->name[titles->n],
                   titles->title[titles->n]) == 2)
            titles->n++;
}

static void table_is_complete(void **state)
{
    struct titles english, german;

    (void)state;
    assert_int_equal(shell_run("%s testsheet --as names %s", shell_program(),
                               REVIEW), 0);
    read_titles(&english);
    assert_int_equal(shell_run("cat %s", NAMES), 0);
    read_titles(&german);
    assert_in_range(english.n, 50, MOST_TITLES - 1);
    assert_int_equal(english.n, german.n);
    for (size_t i = 0; i < english.n; i++) {
        assert_string_equal(english.name[i], german.name[i]);
        assert_string_not_equal(english.title[i], german.title[i]);
    }
    assert_int_equal(shell_run("%s lesson --as names %s", shell_program(),
                               REVIEW), 0);
    read_titles(&german);
    assert_int_equal(english.n, german.n);
}

/* Titles of more than one word: others may be words of a language. */
static void none_is_left(const char *what, const char *text,
                         const struct titles *english)
{
    for (size_t i = 0; i < english->n; i++)
        if (strchr(english->title[i], ' ') != NULL &&
            strstr(text, english->title[i]) != NULL)
            fail_msg("%s: %s", what, english->title[i]);
}

static void nothing_is_left(void **state)
{
    static const char *const forms[] = {"testsheet", "testsheet --as page",
                                        "testsheet --as csv", "lesson"};
    struct titles english;

    (void)state;
    assert_int_equal(shell_run("%s testsheet --as names %s", shell_program(),
                               REVIEW), 0);
    read_titles(&english);
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        struct text text = {0};

        assert_int_equal(shell_run("%s %s --language de --names %s %s",
                                   shell_program(), forms[i], NAMES, REVIEW),
                         0);
        shell_expect("linker Schließtaster");
        text_add(&text, shell_output());
        none_is_left(forms[i], text_str(&text), &english);
        text_release(&text);
    }
}

static void what_no_line_names_stays(void **state)
{
    (void)state;
    shell_put(shell_place(), "some", "# one\n\nclose_left = Taster 7\r\n");
    assert_int_equal(shell_run("%s testsheet --names %s/some %s",
                               shell_program(), shell_place(), REVIEW), 0);
    shell_expect("Taster 7");
    shell_expect("right closing button");
    shell_expect_not("left closing button");
}

static void mistakes_are_told(void **state)
{
    static const struct {
        const char *lines, *what;
    } wrong[] = {
        {"\nclose_middle = x\n", "line 2 of the names: nothing that has a "
                                 "title is called 'close_middle'"},
        {"close_left\n", "line 1 of the names: write `name = title`"},
        {"close_left =  \n", "write a title behind ="},
        {"raise_valve AT = x", "'raise_valve' has no AT in the review text"},
        {"R1 AT = x", "'R1' has no AT in the review text"},
        {"reset SEES = x", "'reset' has no SEES in the review text"}};

    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        shell_put(shell_place(), "wrong", wrong[i].lines);
        assert_int_equal(shell_run("%s testsheet --names %s/wrong %s 2>&1",
                                   shell_program(), shell_place(), REVIEW),
                         2);
        shell_expect(wrong[i].what);
    }
    assert_int_equal(shell_run("%s lesson --names %s/none %s 2>&1",
                               shell_program(), shell_place(), REVIEW), 2);
    shell_expect("cannot read");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(table_is_complete),
        cmocka_unit_test(nothing_is_left),
        cmocka_unit_test(what_no_line_names_stays),
        cmocka_unit_test(mistakes_are_told),
    };

    return cmocka_run_group_tests(tests, shell_set_up, shell_tear_down);
}
