/* Every faulty text of tests/golden/bad/ (named for its fault) gives exactly
 * the words of its sibling .expected. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#include "base/os.h"
#include "base/text.h"
#include "tests/support/diagnose.h"

#define FOLDER "tests/golden/bad/"

enum { MOST_CASES = 1000, LEAST_CASES = 60 };

static void says_what_is_expected(void **state)
{
    struct text path = {0}, said = {0}, expected = {0};

    text_printf(&path, FOLDER "%s", (const char *)*state);
    assert_true(diagnose_file(text_str(&path), &said));
    text_add(&path, ".expected");
    assert_int_equal(os_read_file(text_str(&path), 1 << 20, &expected),
                     OS_OK);
    assert_string_equal(text_str(&said), text_str(&expected));
    assert_true(said.n > 0);
    text_release(&path);
    text_release(&said);
    text_release(&expected);
}

static int is_case(const struct dirent *entry)
{
    size_t n = strlen(entry->d_name);

    return entry->d_name[0] != '.' &&
           !(n > 9 && strcmp(entry->d_name + n - 9, ".expected") == 0);
}

static size_t fill(struct CMUnitTest *tests, struct dirent **cases, int n)
{
    size_t count = 0;

    for (int i = 0; i < n && i < MOST_CASES; i++)
        tests[count++] = (struct CMUnitTest){
            cases[i]->d_name, says_what_is_expected, NULL, NULL,
            cases[i]->d_name};
    return count;
}

static void there_are_cases(void **state)
{
    assert_true(*(const int *)*state >= LEAST_CASES);
}

int main(void)
{
    static struct CMUnitTest tests[MOST_CASES + 1];
    struct dirent **cases = NULL;
    int n = scandir(FOLDER, &cases, is_case, alphasort);
    size_t count = fill(tests, cases, n);
    int failed;

    tests[count++] = (struct CMUnitTest){"there are cases", there_are_cases,
                                         NULL, NULL, &n};
    failed = _cmocka_run_group_tests("golden", tests, count, NULL, NULL);
    for (int i = 0; i < n; i++)
        free(cases[i]);
    free(cases);
    return failed;
}
