/* What is printed is the same, byte for byte, whether the enumerating engine
 * has one thread or two.  The models of the bench are large enough for the
 * second to be called in. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include <cmocka.h>

enum { MOST = 1 << 18 };

/* Gives the exit code. */
static int run(unsigned threads, const char *review, char *output)
{
    char command[512];
    size_t n = 0, got;
    FILE *pipe;
    int status;

    snprintf(command, sizeof command, "%s check --engine tiles --quick "
             "--figures --threads %u %s 2>&1", getenv("KEEPCLEAR"), threads,
             review);
    pipe = popen(command, "r");
    assert_non_null(pipe);
    while ((got = fread(output + n, 1, MOST - 1 - n, pipe)) > 0)
        n += got;
    output[n] = '\0';
    status = pclose(pipe);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void same(const char *review)
{
    static char one[MOST], two[MOST];

    assert_int_equal(run(1, review, one), run(2, review, two));
    assert_true(strlen(one) > 200);
    assert_string_equal(one, two);
}

static void test_texts(void **unused)
{
    (void)unused;
    same("models/table/table.review");
    same("models/tailgate/tailgate.review");
    same("models/rear_body/rear_body.review");
    same("tests/bench/models/counters.review");
    same("tests/bench/models/rack.review");
}

static void test_number(void **unused)
{
    static char output[MOST];

    (void)unused;
    assert_int_equal(run(0, "models/table/table.review", output), 2);
    assert_non_null(strstr(output, "--threads takes a whole number"));
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_texts),
        cmocka_unit_test(test_number),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
