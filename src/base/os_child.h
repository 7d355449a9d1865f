/* os_child.h - jobs in child processes; the system is asked in os.c. */
#ifndef KEEPCLEAR_BASE_OS_CHILD_H
#define KEEPCLEAR_BASE_OS_CHILD_H

#include <stdbool.h>
#include <stdint.h>

#include "base/os_status.h"

struct text;

/* Runs job(context, result) in a child process for at most seconds; NULL: it
 * could not be started.  The child shares nothing back but the text that it
 * writes.  No other thread may be busy meanwhile: a child has only one, and
 * finds locked what others held. */
struct os_child;
struct os_child *os_child_start(bool (*job)(void *context,
                                            struct text *result),
                                void *context, double seconds);

/* Waits until one of them is through, too late or, after a signal, given up,
 * and tells which.  n: at most OS_CHILDREN; those that are NULL are none, but
 * not all are. */
enum { OS_CHILDREN = 64 };
uint32_t os_child_next(struct os_child *const *children, uint32_t n);

/* Fetches what it wrote; frees it. */
enum os_status os_child_end(struct os_child *child, struct text *result);

/* All three for one child. */
enum os_status os_in_child(bool (*job)(void *context, struct text *result),
                           void *context, double seconds,
                           struct text *result);

#endif
