/* The runner of the tests must not take a fault for a pass: programs that
 * are small shell texts pretend to be cmocka programs. */
#define _GNU_SOURCE
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include "base/os.h"
#include "base/text.h"

static char folder[64];

static int setup(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/test_run.XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int command(struct text *out, const char *line)
{
    FILE *pipe = popen(line, "r");
    int status;

    text_clear(out);
    for (int c; (c = fgetc(pipe)) != EOF;)
        text_add_char(out, (char)c);
    status = pclose(pipe);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static int teardown(void **state)
{
    struct text line = {0}, out = {0};

    (void)state;
    text_printf(&line, "rm -r '%s'", folder);
    assert_int_equal(command(&out, text_str(&line)), 0);
    text_release(&line);
    text_release(&out);
    return 0;
}

static void program(const char *name, const char *lines)
{
    struct text path = {0}, bytes = {0};

    text_printf(&path, "%s/%s", folder, name);
    text_printf(&bytes, "#!/bin/sh\n%s\n", lines);
    assert_int_equal(os_write_file(path.at, bytes.at, bytes.n), OS_OK);
    assert_int_equal(chmod(path.at, 0755), 0);
    text_release(&path);
    text_release(&bytes);
}

/* Runs the programs a and b after a number of failed checks, and demands
 * the last line and the status. */
static void assert_run(int before, const char *last, int status)
{
    struct text line = {0}, out = {0};
    int got;

    text_printf(&line,
                "TEST_SECONDS=1 sh tests/tools/run-tests.sh %s/logs 2 %d "
                "%s/a %s/b 2>&1",
                folder, before, folder, folder);
    got = command(&out, text_str(&line));
    if (got != status || out.n < strlen(last) ||
        strcmp(out.at + out.n - strlen(last), last) != 0)
        fail_msg("status %d, wanted \"%s\", got:\n%s", got, last,
                 text_str(&out));
    text_release(&line);
    text_release(&out);
}

static void adds_up(void **state)
{
    (void)state;
    program("a", "echo '[  PASSED  ] 3 test(s).'");
    program("b", "echo '[  PASSED  ] 2 test(s).'\n"
                 "echo '[  PASSED  ] 1 test(s).'");
    assert_run(0, "\n6 passed, 0 failed\n", 0);
    assert_run(2, "\n6 passed, 2 failed\n", 1);
}

static void failures_count(void **state)
{
    (void)state;
    program("a", "echo '[  PASSED  ] 3 test(s).'");
    program("b", "echo '[  PASSED  ] 2 test(s).'\n"
                 "echo '[  FAILED  ] 2 test(s), listed below:'\n"
                 "echo '[  FAILED  ] one'\necho '[  FAILED  ] two'\n"
                 "exit 2");
    assert_run(0, "\n5 passed, 2 failed\n", 1);
}

static void what_is_skipped_is_told(void **state)
{
    (void)state;
    program("a", "echo '[  PASSED  ] 3 test(s).'");
    program("b", "echo '[  SKIPPED ] one'\necho '[  PASSED  ] 0 test(s).'\n"
                 "echo '[  SKIPPED ] 1 test(s), listed below:'");
    assert_run(0, "\n1 skipped\n3 passed, 0 failed\n", 0);
}

static void silence_is_a_failure(void **state)
{
    (void)state;
    program("a", "echo '[  PASSED  ] 3 test(s).'");
    program("b", "exit 0");
    assert_run(0, "/b ran no test\n3 passed, 1 failed\n", 1);
    program("b", "echo '[  PASSED  ] 0 test(s).'");
    assert_run(0, "/b ran no test\n3 passed, 1 failed\n", 1);
}

static void a_bad_end_is_a_failure(void **state)
{
    (void)state;
    program("a", "echo '[  PASSED  ] 3 test(s).'");
    program("b", "echo '[  PASSED  ] 3 test(s).'; exit 23");
    assert_run(0, "/b ended with status 23\n6 passed, 1 failed\n", 1);
    program("b", "kill -SEGV $$");
    assert_run(0, "\n3 passed, 1 failed\n", 1);
    program("b", "exec sleep 30");
    assert_run(0, "/b ran longer than 1 seconds\n3 passed, 1 failed\n", 1);
}

#define WITH_FOLDER(test)                                                  \
    cmocka_unit_test_setup_teardown(test, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WITH_FOLDER(adds_up),
        WITH_FOLDER(failures_count),
        WITH_FOLDER(what_is_skipped_is_told),
        WITH_FOLDER(silence_is_a_failure),
        WITH_FOLDER(a_bad_end_is_a_failure),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
