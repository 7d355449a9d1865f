/* A limit of memory, as the system measures it: the largest resident size of
 * the program, less that of a run with a limit of one MiB, stays within
 * a tenth of the limit, and half of it is used before the run gives up.  And
 * signals, where engines are in the middle of something large. */
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#define TEXTS "tests/outside/texts/"

enum { MOST_OUTPUT = 1 << 14, MOST_ARGUMENTS = 12 };

struct outcome {
    int code;
    double mib; /* largest resident size */
    char output[MOST_OUTPUT];
};

static _Noreturn void be_program(int out, char **arguments)
{
    dup2(out, STDOUT_FILENO);
    execv(arguments[0], arguments);
    _exit(127);
}

/* list: blank-separated arguments behind "check --quick"; *out: where what it
 * prints is read. */
static pid_t start(const char *list, int *out)
{
    char copy[512], *rest = NULL, *arguments[MOST_ARGUMENTS] = {0};
    int ends[2], n = 0;
    pid_t child;

    snprintf(copy, sizeof copy, "%s check --quick %s", getenv("KEEPCLEAR"),
             list);
    for (char *at = strtok_r(copy, " ", &rest); at;
         at = strtok_r(NULL, " ", &rest)) {
        assert_true(n < MOST_ARGUMENTS - 1);
        arguments[n++] = at;
    }
    assert_int_equal(pipe(ends), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0)
        be_program(ends[1], arguments);
    close(ends[1]);
    *out = ends[0];
    return child;
}

static void finish(pid_t child, int out, struct outcome *outcome)
{
    struct rusage used;
    size_t length = 0;
    ssize_t got;
    int status;

    while ((got = read(out, outcome->output + length,
                       MOST_OUTPUT - 1 - length)) > 0)
        length += (size_t)got;
    outcome->output[length] = '\0';
    close(out);
    assert_int_equal(wait4(child, &status, 0, &used), child);
    assert_true(WIFEXITED(status));
    outcome->code = WEXITSTATUS(status);
    outcome->mib = (double)used.ru_maxrss / 1024;
}

static void run(const char *list, struct outcome *outcome)
{
    int out;
    pid_t child = start(list, &out);

    finish(child, out, outcome);
}

static unsigned scans_of(const struct outcome *o)
{
    const char *at = strstr(o->output, "no breach within ");
    unsigned scans = 0;

    assert_non_null(at);
    assert_int_equal(sscanf(at, "no breach within %u scan", &scans), 1);
    return scans;
}

static void within(const struct outcome *o, const struct outcome *small,
                   unsigned limit)
{
    double grown = o->mib - small->mib;

    printf("    %.1f MiB of %u\n", grown, limit);
    assert_true(grown <= 1.1 * limit);
    assert_true(grown >= 0.5 * limit);
}

/* A run that ends at `limit` MiB says so; with half as much it gets no
 * farther. */
static void meets(const char *engine, const char *review, unsigned limit)
{
    static struct outcome small, large, less;
    char list[256];

#ifdef __SANITIZE_ADDRESS__
    skip(); /* memory of a program built to find mistakes says nothing */
#endif

    snprintf(list, sizeof list, "%s --memory 1MiB %s", engine, TEXTS
             "walk.review");
    run(list, &small);
    snprintf(list, sizeof list, "%s --memory %uMiB --only R1 %s", engine,
             limit, review);
    run(list, &large);
    assert_int_equal(large.code, 3); /* not finished */
    assert_non_null(strstr(large.output, "the limit of memory was reached"));
    within(&large, &small, limit);
    snprintf(list, sizeof list, "%s --memory %uMiB --only R1 %s", engine,
             limit / 2, review);
    run(list, &less);
    assert_true(scans_of(&less) <= scans_of(&large));
    within(&less, &small, limit / 2);
}

/* As little as the system gives is a limit too. */
static void a_small_limit_ends_it(void **unused)
{
    static struct outcome o;

    (void)unused;
    run("--engine tiles --memory 1MiB " TEXTS "walk.review", &o);
    assert_int_equal(o.code, 3);
    assert_non_null(strstr(o.output, "the limit of memory was reached"));
}

static void test_narrow(void **unused)
{
    (void)unused;
    meets("--engine tiles", TEXTS "walk.review", 64);
}

static void test_wide(void **unused)
{
    (void)unused;
    meets("--engine tiles", TEXTS "walk_wide.review", 64);
}

static void test_bits(void **unused)
{
    (void)unused;
    meets("--engine tiles", TEXTS "walk_bits.review", 64);
}

static void test_sets(void **unused)
{
    (void)unused;
    meets("--engine sets", TEXTS "walk.review", 64);
}

static void test_race(void **unused)
{
    (void)unused;
    meets("", TEXTS "walk.review", 64);
}

/* ---- large operations ---- */

static void a_limit_ends_large_operations(void **unused)
{
    static struct outcome small, o;

    (void)unused;
#ifdef __SANITIZE_ADDRESS__
    skip();
#endif
    run("--engine sets --memory 1MiB " TEXTS "elements.review", &small);
    run("--engine sets --memory 64MiB " TEXTS "elements.review", &o);
    assert_int_equal(o.code, 3);
    assert_non_null(strstr(o.output, "\nR1    kept"));
    assert_non_null(strstr(o.output, "the limit of memory was reached"));
    within(&o, &small, 64);
}

/* How long it may take to be through after a signal, on a machine that others
 * use too. */
enum { UNDER_WAY_SECONDS = 6, HEARD_SECONDS = 5 };

static void hears(const char *engine)
{
    static struct outcome o;
    char list[256];
    time_t sent;
    pid_t child;
    int out;

    snprintf(list, sizeof list, "%s " TEXTS "elements.review", engine);
    child = start(list, &out);
    sleep(UNDER_WAY_SECONDS);
    sent = time(NULL);
    assert_int_equal(kill(child, SIGINT), 0);
    finish(child, out, &o);
    assert_true(time(NULL) - sent <= HEARD_SECONDS);
    assert_int_equal(o.code, 3);
    assert_non_null(strstr(o.output, "\nR1    kept"));
    assert_non_null(strstr(o.output, "it was interrupted"));
}

static void a_signal_ends_large_operations(void **unused)
{
    (void)unused;
    hears("--engine sets");
    hears("--engine tiles");
    hears("");
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_limit_ends_it),
        cmocka_unit_test(test_narrow), cmocka_unit_test(test_wide),
        cmocka_unit_test(test_bits), cmocka_unit_test(test_sets),
        cmocka_unit_test(test_race),
        cmocka_unit_test(a_limit_ends_large_operations),
        cmocka_unit_test(a_signal_ends_large_operations),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
