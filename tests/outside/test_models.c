/* Every file in models/ runs: the reviews are kept, and each wrong change
 * breaks the requirement that its EXPECTED list names. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include <cmocka.h>

static char output[1 << 20];

static int run(const char *arguments)
{
    char command[1024];
    const char *program = getenv("KEEPCLEAR");
    size_t n = 0, got;
    FILE *pipe;
    int status;

    assert_non_null(program);
    snprintf(command, sizeof command, "%s check %s 2>&1", program,
             arguments);
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

/* Is there a verdict line "R3    broken …"? */
static int is_broken(const char *requirement)
{
    char line[64];
    size_t n = (size_t)snprintf(line, sizeof line, "%-5s broken",
                                requirement);

    for (const char *at = output; at != NULL; at = strchr(at, '\n')) {
        at += *at == '\n';
        if (strncmp(at, line, n) == 0)
            return 1;
    }
    return 0;
}

static void expect_kept(const char *review)
{
    if (run(review) != 0)
        fail_msg("%s is not kept:\n%s", review, output);
}

/* Runs one changed text; it must be broken, with a sequence. */
static void run_change(const char *model, const char *file)
{
    char arguments[512];

    snprintf(arguments, sizeof arguments,
             "--control models/%s/changes/%s models/%s/%s.review", model,
             file, model, model);
    if (run(arguments) != 1)
        fail_msg("%s: not exit code 1:\n%s", file, output);
    if (strstr(output, "the shortest way to break it") == NULL &&
        strstr(output, "it can never be brought about") == NULL)
        fail_msg("%s: no sequence is shown:\n%s", file, output);
}

/* One line of EXPECTED: file, requirement it must break.  Lines of one file
 * stand together; `last` is the file run last. */
static void try_line(const char *model, char *line, char *last,
                     unsigned *tried)
{
    char *file = strtok(line, " \t\n");
    char *requirement = strtok(NULL, " \t\n");

    if (file == NULL || file[0] == '#')
        return;
    assert_non_null(requirement);
    if (strcmp(file, last) != 0) {
        run_change(model, file);
        snprintf(last, 128, "%s", file);
        (*tried)++;
    }
    if (!is_broken(requirement))
        fail_msg("%s: %s is not broken:\n%s", file, requirement, output);
}

static unsigned files_in(const char *folder)
{
    DIR *dir = opendir(folder);
    struct dirent *entry;
    unsigned n = 0;

    assert_non_null(dir);
    while ((entry = readdir(dir)) != NULL)
        n += strstr(entry->d_name, ".st") != NULL;
    closedir(dir);
    return n;
}

static void try_changes(const char *model, unsigned least)
{
    char path[256], line[512], last[128] = "";
    unsigned tried = 0;
    FILE *in;

    snprintf(path, sizeof path, "models/%s/changes/EXPECTED", model);
    in = fopen(path, "r");
    assert_non_null(in);
    while (fgets(line, sizeof line, in) != NULL)
        try_line(model, line, last, &tried);
    fclose(in);
    snprintf(path, sizeof path, "models/%s/changes", model);
    assert_true(tried >= least);
    assert_int_equal(tried, files_in(path));
}

static void tailgate_is_kept(void **state)
{
    (void)state;
    expect_kept("models/tailgate/tailgate.review");
}

static void tailgate_changes_are_broken(void **state)
{
    (void)state;
    try_changes("tailgate", 8);
}

static void table_is_kept(void **state)
{
    (void)state;
    expect_kept("models/table/table.review");
}

static void table_changes_are_broken(void **state)
{
    (void)state;
    try_changes("table", 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tailgate_is_kept),
        cmocka_unit_test(tailgate_changes_are_broken),
        cmocka_unit_test(table_is_kept),
        cmocka_unit_test(table_changes_are_broken),
    };

    return cmocka_run_group_tests_name("models", tests, NULL, NULL);
}
