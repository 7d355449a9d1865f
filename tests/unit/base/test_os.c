#define _GNU_SOURCE
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/ensure.h"
#include "base/os.h"
#include "base/os_child.h"
#include "base/text.h"

/* Every test works in a folder of its own. */
static char folder[64];

static const char *in_folder(const char *name)
{
    static char path[2][400];
    static int turn;

    turn = !turn;
    snprintf(path[turn], sizeof path[turn], "%s/%s", folder, name);
    return path[turn];
}

static int setup(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/test_os.XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

/* Files left in the folder; removes them. */
static int empty_folder(void)
{
    DIR *all = opendir(folder);
    int count = 0;

    for (struct dirent *one; (one = readdir(all));) {
        if (one->d_name[0] == '.')
            continue;
        count++;
        if (unlink(in_folder(one->d_name)) < 0)
            rmdir(in_folder(one->d_name));
    }
    closedir(all);
    return count;
}

static int teardown(void **state)
{
    (void)state;
    empty_folder();
    return rmdir(folder);
}

static void what_is_written_is_read(void **state)
{
    struct text content = {0};
    const char *path = in_folder("a.txt");

    (void)state;
    assert_int_equal(os_write_file(path, "first, longer", 13), OS_OK);
    assert_int_equal(os_write_file(path, "a\0b", 3), OS_OK);
    text_add(&content, "old");
    assert_int_equal(os_read_file(path, 3, &content), OS_OK);
    assert_int_equal(content.n, 3);
    assert_memory_equal(content.at, "a\0b", 4);
    assert_int_equal(os_read_file(path, 2, &content), OS_TOO_LARGE);
    assert_int_equal(content.n, 0);
    text_release(&content);
    assert_int_equal(empty_folder(), 1);
}

static void large_files_are_whole(void **state)
{
    struct text out = {0}, in = {0};

    (void)state;
    for (int i = 0; i < 100000; i++)
        text_printf(&out, "%d\n", i);
    assert_int_equal(os_write_file(in_folder("b"), out.at, out.n), OS_OK);
    assert_int_equal(os_read_file(in_folder("b"), out.n, &in), OS_OK);
    assert_int_equal(in.n, out.n);
    assert_memory_equal(in.at, out.at, out.n);
    text_release(&out);
    text_release(&in);
}

static void reading_says_what_is_wrong(void **state)
{
    struct text content = {0};

    (void)state;
    assert_int_equal(os_read_file(in_folder("none"), 10, &content),
                     OS_NOT_FOUND);
    assert_int_equal(os_read_file(folder, 10, &content), OS_IS_FOLDER);
    assert_int_equal(os_read_file("/dev/zero", 100000, &content),
                     OS_TOO_LARGE);
    assert_int_equal(os_read_file("/dev/null", 0, &content), OS_OK);
    text_release(&content);
}

static void writing_says_what_is_wrong(void **state)
{
    struct stat after;

    (void)state;
    assert_int_equal(os_write_file("/dev/full", "x", 1), OS_FULL);
    assert_int_equal(stat("/dev/full", &after), 0);
    assert_true(S_ISCHR(after.st_mode));
    assert_int_equal(os_write_file("/dev/null", "x", 1), OS_OK);
    assert_int_equal(os_write_file(folder, "x", 1), OS_IS_FOLDER);
    assert_int_equal(os_write_file(in_folder("no/x"), "x", 1),
                     OS_NOT_FOUND);
    assert_int_equal(empty_folder(), 0);
}

/* Run as somebody who has rights to lose. */
static void refused_writes_change_nothing(void **state)
{
    int how;
    pid_t child;

    (void)state;
    assert_int_equal(os_write_file(in_folder("c"), "old", 3), OS_OK);
    assert_int_equal(chmod(in_folder("c"), 0), 0);
    assert_int_equal(chmod(folder, 0555), 0);
    child = fork();
    if (child == 0) {
        struct text content = {0};

        if (geteuid() == 0 && setuid(65534) < 0)
            _exit(2);
        if (os_write_file(in_folder("c"), "new", 3) != OS_NOT_WRITABLE ||
            os_write_file(in_folder("d"), "new", 3) != OS_NOT_WRITABLE)
            _exit(1);
        _exit(os_read_file(in_folder("c"), 10, &content) !=
              OS_NOT_READABLE);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_int_equal(chmod(folder, 0755), 0);
    assert_true(WIFEXITED(how));
    assert_int_equal(WEXITSTATUS(how), 0);
    assert_int_equal(empty_folder(), 1);
}

static void rights_and_links_stay(void **state)
{
    struct stat after;
    struct text content = {0};

    (void)state;
    assert_int_equal(os_write_file(in_folder("e"), "old", 3), OS_OK);
    assert_int_equal(chmod(in_folder("e"), 0640), 0);
    assert_int_equal(symlink("e", in_folder("link")), 0);
    assert_int_equal(os_write_file(in_folder("link"), "new", 3), OS_OK);
    assert_int_equal(lstat(in_folder("link"), &after), 0);
    assert_true(S_ISLNK(after.st_mode));
    assert_int_equal(stat(in_folder("e"), &after), 0);
    assert_int_equal(after.st_mode & 0777, 0640);
    assert_int_equal(os_read_file(in_folder("e"), 9, &content), OS_OK);
    assert_string_equal(text_str(&content), "new");
    text_release(&content);
}

/* Gives descriptor 1 away for one os_write_out. */
static enum os_status write_out_to(int file)
{
    int kept = dup(STDOUT_FILENO);
    enum os_status status;

    fflush(stdout);
    if (file < 0)
        close(STDOUT_FILENO);
    else
        dup2(file, STDOUT_FILENO);
    status = os_write_out("verdict\n", 8);
    dup2(kept, STDOUT_FILENO);
    close(kept);
    return status;
}

static void failing_output_is_told(void **state)
{
    int full = open("/dev/full", O_WRONLY), null = open("/dev/null", 1);
    int ends[2];
    char got[16];

    (void)state;
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write_out_to(null), OS_OK);
    assert_int_equal(write_out_to(full), OS_FULL);
    assert_int_equal(write_out_to(-1), OS_CLOSED);
    assert_int_equal(write_out_to(ends[1]), OS_OK);
    assert_int_equal(read(ends[0], got, sizeof got), 8);
    close(ends[0]);
    assert_int_equal(write_out_to(ends[1]), OS_CLOSED);
    close(ends[1]);
    close(full);
    close(null);
}

static bool say(void *context, struct text *result)
{
    text_add(result, context);
    return true;
}

static bool say_much(void *context, struct text *result)
{
    text_pad(result, *(char *)context, 1 << 20);
    return true;
}

static bool refuse(void *context, struct text *result)
{
    text_add(result, context);
    return false;
}

static bool hang(void *context, struct text *result)
{
    text_add(result, context);
    while (result->n)
        pause();
    return true;
}

static bool crash(void *context, struct text *result)
{
    (void)context, (void)result;
    raise(SIGKILL);
    return true;
}

static bool blunder(void *context, struct text *result)
{
    (void)result;
    ENSURE(!context);
    return true;
}

static void children_report(void **state)
{
    struct text result = {0};
    char word[] = "drawn";

    (void)state;
    text_add(&result, "old");
    assert_int_equal(os_in_child(say, word, 10, &result), OS_OK);
    assert_string_equal(text_str(&result), "drawn");
    assert_int_equal(os_in_child(say_much, word, 60, &result), OS_OK);
    assert_int_equal(result.n, 1 << 20);
    assert_int_equal(os_in_child(refuse, word, 10, &result),
                     OS_CHILD_FAILED);
    assert_string_equal(text_str(&result), "");
    assert_int_equal(os_in_child(crash, word, 10, &result),
                     OS_CHILD_FAILED);
    text_release(&result);
}

static void jump_out(enum base_failure kind, const char *what,
                     const char *file, int line)
{
    (void)kind, (void)what, (void)file, (void)line;
    _exit(0);
}

/* A handler of the parent must not make a child's blunder look good. */
static void blunder_in_a_child_is_told(void **state)
{
    struct text result = {0};
    char word[] = "x";

    (void)state;
    base_on_failure(jump_out);
    assert_int_equal(os_in_child(blunder, word, 10, &result),
                     OS_CHILD_FAILED);
    base_on_failure(NULL);
    text_release(&result);
}

static void hanging_children_are_ended(void **state)
{
    struct text result = {0};
    char word[] = "half";
    double start = os_moment().seconds;

    (void)state;
    assert_int_equal(os_in_child(hang, word, 0.2, &result), OS_TIMED_OUT);
    assert_true(os_moment().seconds - start >= 0.2);
    assert_true(os_moment().seconds - start < 5);
    assert_int_equal(result.n, 0);
    assert_int_equal(waitpid(-1, NULL, WNOHANG), -1); /* none is left */
    text_release(&result);
}

/* Several at once: each by its own limit, in the order in which they end. */
static void one_of_several_is_through(void **state)
{
    struct os_child *some[4] = {NULL};
    struct text result = {0};
    char word[] = "drawn";

    (void)state;
    some[0] = os_child_start(hang, word, 1);
    some[1] = os_child_start(hang, word, 0.2);
    some[3] = os_child_start(say, word, 10);
    assert_int_equal(os_child_next(some, 4), 3);
    assert_int_equal(os_child_end(some[3], &result), OS_OK);
    assert_string_equal(text_str(&result), "drawn");
    some[3] = NULL;
    assert_int_equal(os_child_next(some, 4), 1);
    assert_int_equal(os_child_end(some[1], &result), OS_TIMED_OUT);
    assert_int_equal(result.n, 0);
    some[1] = NULL;
    assert_int_equal(os_child_next(some, 4), 0);
    assert_int_equal(os_child_end(some[0], &result), OS_TIMED_OUT);
    assert_int_equal(waitpid(-1, NULL, WNOHANG), -1); /* none is left */
    text_release(&result);
}

/* The system refuses to wait for more files than the program may have. */
static void children_that_cannot_be_heard_are_ended(void **state)
{
    struct text result = {0};
    char word[] = "half";
    struct os_child *child = os_child_start(hang, word, 3);
    struct rlimit was, none;

    (void)state;
    assert_int_equal(getrlimit(RLIMIT_NOFILE, &was), 0);
    none = was;
    none.rlim_cur = 0;
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &none), 0);
    assert_int_equal(os_child_next(&child, 1), 0);
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &was), 0);
    assert_int_equal(os_child_end(child, &result), OS_FAILED);
    assert_int_equal(waitpid(-1, NULL, WNOHANG), -1);
    text_release(&result);
}

/* In a child of the test, because the second signal ends the program. */
static void first_signal_is_counted_second_ends(void **state)
{
    pid_t child = fork();
    int how;

    (void)state;
    if (child == 0) {
        os_watch_signals();
        if (os_interrupted())
            _exit(1);
        raise(SIGINT);
        if (!os_interrupted())
            _exit(2);
        usleep(600000);
        raise(SIGTERM);
        _exit(3);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFSIGNALED(how));
    assert_int_equal(WTERMSIG(how), SIGTERM);
}

/* A program that ends others may send it to one and to its group. */
static void what_comes_twice_at_once_is_one_signal(void **state)
{
    pid_t child = fork();
    int how;

    (void)state;
    if (child == 0) {
        os_watch_signals();
        if (os_interrupted())
            _exit(1);
        raise(SIGTERM);
        raise(SIGTERM);
        _exit(os_interrupted() ? 0 : 2);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFEXITED(how));
    assert_int_equal(WEXITSTATUS(how), 0);
}

/* Work that never looks, as within an operation of a library. */
static void deaf_work_ends_some_seconds_later(void **state)
{
    double start = os_moment().seconds;
    pid_t child = fork();
    int how;

    (void)state;
    if (child == 0) {
        os_watch_signals();
        if (os_interrupted())
            _exit(1);
        raise(SIGTERM);
        for (;;)
            pause();
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFSIGNALED(how));
    assert_int_equal(WTERMSIG(how), SIGTERM);
    assert_true(os_moment().seconds - start >= 9);
    assert_true(os_moment().seconds - start < 60);
}

/* Nothing is found yet that could be kept. */
static void before_anybody_listens_the_first_ends(void **state)
{
    pid_t child = fork();
    int how;

    (void)state;
    if (child == 0) {
        os_watch_signals();
        raise(SIGINT);
        _exit(1);
    }
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFSIGNALED(how));
    assert_int_equal(WTERMSIG(how), SIGINT);
}

static void maps_are_zeroed(void **state)
{
    size_t size = 5 << 20;
    unsigned char *at = os_map(size);

    (void)state;
    assert_non_null(at);
    for (size_t i = 0; i < size; i += 4096)
        assert_int_equal(at[i], 0);
    at[size - 1] = 1;
    os_unmap(at, size);
    os_unmap(NULL, 0);
    assert_null(os_map(SIZE_MAX / 2));
}

static void every_status_has_words(void **state)
{
    (void)state;
    for (int a = OS_OK; a <= OS_FAILED; a++) {
        const char *words = os_explain((enum os_status)a);

        assert_true(strlen(words) > 3);
        assert_true(words[strlen(words) - 1] != '.');
        for (int b = OS_OK; b < a; b++)
            assert_string_not_equal(words, os_explain((enum os_status)b));
    }
}

#define WITH_FOLDER(test)                                                  \
    cmocka_unit_test_setup_teardown(test, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        /* first: others listen */
        cmocka_unit_test(before_anybody_listens_the_first_ends),
        WITH_FOLDER(what_is_written_is_read),
        WITH_FOLDER(large_files_are_whole),
        WITH_FOLDER(reading_says_what_is_wrong),
        WITH_FOLDER(writing_says_what_is_wrong),
        WITH_FOLDER(refused_writes_change_nothing),
        WITH_FOLDER(rights_and_links_stay),
        cmocka_unit_test(failing_output_is_told),
        cmocka_unit_test(children_report),
        cmocka_unit_test(blunder_in_a_child_is_told),
        cmocka_unit_test(hanging_children_are_ended),
        cmocka_unit_test(one_of_several_is_through),
        cmocka_unit_test(children_that_cannot_be_heard_are_ended),
        cmocka_unit_test(first_signal_is_counted_second_ends),
        cmocka_unit_test(what_comes_twice_at_once_is_one_signal),
        cmocka_unit_test(deaf_work_ends_some_seconds_later),
        cmocka_unit_test(maps_are_zeroed),
        cmocka_unit_test(every_status_has_words),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
