/* os.h - the only door to the operating system.
 *
 * Every function that can fail gives back an enum os_status and leaves
 * nothing half done.  A message for people comes from os_explain.
 */
#ifndef KEEPCLEAR_BASE_OS_H
#define KEEPCLEAR_BASE_OS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/os_status.h"

struct text;

/* A phrase without final stop: "no such file or folder". */
const char *os_explain(enum os_status status);

/* Reads a whole file of at most limit bytes into content (emptied first). */
enum os_status os_read_file(const char *path, size_t limit,
                            struct text *content);

/* Writes a file whole or not at all: a temporary file beside it, renamed at
 * the end. */
enum os_status os_write_file(const char *path, const char *bytes, size_t n);

/* Writes to standard output / standard error, whole; stdout is checked, a
 * closed pipe gives OS_CLOSED and raises no signal. */
enum os_status os_write_out(const char *bytes, size_t n);
void os_write_err(const char *bytes, size_t n);

/* Is this standard stream a terminal? */
enum os_stream { OS_IN, OS_OUT, OS_ERR };
bool os_is_terminal(enum os_stream stream);

/* Reads the next line of standard input, without its line end; line is
 * emptied first.  OS_CLOSED when there is none left, or a signal came;
 * OS_TOO_LARGE when it is longer than limit bytes: then it is skipped. */
enum os_status os_read_line(size_t limit, struct text *line);

/* Value of an environment variable or NULL. */
const char *os_environment(const char *name);

/* Starts to count SIGINT and SIGTERM instead of dying of them; a second one,
 * half a second later or more, ends the program, and so does the first, 10 s
 * later, where it is still at work: then nobody listens.  While nobody has
 * asked os_interrupted yet, nothing is found that could be kept, and the first
 * one ends it at once.  os_interrupted is cheap and safe in inner loops. */
void os_watch_signals(void);
bool os_interrupted(void);

/* For progress only, never for a verdict: seconds since some fixed moment,
 * bytes of memory that the program has (0: not known), and cores that it may
 * use, at least 1. */
struct os_moment {
    double seconds;
    uint64_t bytes;
    uint32_t cores;
};
struct os_moment os_moment(void);

/* Bytes of zeroed memory straight from the system, huge pages asked for;
 * NULL when there is none. */
void *os_map(size_t bytes);
void os_unmap(void *at, size_t bytes);

/* The function of a shared library whose place a function of this name in the
 * program has taken; NULL: there is none. */
void (*os_behind(const char *name))(void);

_Noreturn void os_exit(int code);

#endif
