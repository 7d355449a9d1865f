/* shell.h - running the program from a test, as a user would.
 *
 * What a command wrote lies in one buffer until the next one runs.
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_SHELL_H
#define KEEPCLEAR_TESTS_SUPPORT_SHELL_H

/* Runs a command line; gives its exit code.  A command ended by a signal
 * fails the test. */
int shell_run(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* The program under test, as the environment names it. */
const char *shell_program(void);

/* What the last command wrote, cut at one MiB. */
const char *shell_output(void);

/* Fails the test when this is not, or is, in it. */
void shell_expect(const char *what);
void shell_expect_not(const char *what);

/* Skips the test, and says so, where a command does not run. */
void shell_need(const char *command);

/* Writes a file into a folder. */
void shell_put(const char *folder, const char *name, const char *text);

/* A new folder under /tmp, its name (template ...XXXXXX) changed in place;
 * and away with it: 0. */
int shell_folder(char *folder);
int shell_remove(const char *folder);

/* For a group of tests: a new folder before them, which is away behind them;
 * and its name. */
int shell_set_up(void **state);
int shell_tear_down(void **state);
const char *shell_place(void);

#endif
