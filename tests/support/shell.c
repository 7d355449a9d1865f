#include "tests/support/shell.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

static char output[1 << 20];

const char *shell_output(void)
{
    return output;
}

const char *shell_program(void)
{
    const char *program = getenv("KEEPCLEAR");

    assert_non_null(program);
    return program;
}

int shell_run(const char *format, ...)
{
    char command[4096];
    size_t n = 0, got;
    int status;
    FILE *pipe;
    va_list args;

    va_start(args, format);
    status = vsnprintf(command, sizeof command, format, args);
    va_end(args);
    assert_in_range(status, 0, sizeof command - 1);
    pipe = popen(command, "r");
    assert_non_null(pipe);
    while (n < sizeof output - 1 &&
           (got = fread(output + n, 1, sizeof output - 1 - n, pipe)) > 0)
        n += got;
    output[n] = '\0';
    status = pclose(pipe);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

void shell_expect(const char *what)
{
    if (!strstr(output, what))
        fail_msg("'%s' is not in:\n%s", what, output);
}

void shell_expect_not(const char *what)
{
    if (strstr(output, what))
        fail_msg("'%s' is in:\n%s", what, output);
}

void shell_put(const char *folder, const char *name, const char *text)
{
    char path[256];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

int shell_folder(char *folder)
{
    return mkdtemp(folder) == NULL;
}

int shell_remove(const char *folder)
{
    char command[128];

    snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

static char place[] = "/tmp/keepclear-test-XXXXXX";

int shell_set_up(void **state)
{
    (void)state;
    return shell_folder(place);
}

int shell_tear_down(void **state)
{
    (void)state;
    return shell_remove(place);
}

const char *shell_place(void)
{
    return place;
}

void shell_need(const char *command)
{
    if (shell_run("{ %s; } >/dev/null 2>&1", command) == 0)
        return;
    print_message("skipped: `%s` does not run here\n", command);
    skip();
}
