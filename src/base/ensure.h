/* ensure.h - what happens when the world or our own code fails.
 *
 * Three channels are never mixed: a mistake in the user's text becomes a
 * diagnostic record (source/diag.h); a failing file or limit is a status
 * given back to the caller; what is left comes here: memory that ran out,
 * and our own bugs.  Nothing below cli/ prints or exits: cli/ installs the
 * handler.  Tests install one that longjmps.
 */
#ifndef KEEPCLEAR_BASE_ENSURE_H
#define KEEPCLEAR_BASE_ENSURE_H

enum base_failure { BASE_OUT_OF_MEMORY, BASE_INTERNAL_ERROR };

/* A handler must not return.  what: a sentence without final stop; file and
 * line: place in our own source. */
typedef void base_handler(enum base_failure kind, const char *what,
                          const char *file, int line);

/* Installs the handler; NULL restores the default, which aborts. */
void base_on_failure(base_handler *handler);

/* Never returns. */
_Noreturn void base_fail(enum base_failure kind, const char *what,
                         const char *file, int line);

/* Always on, also in release builds: a broken invariant must never become a
 * verdict. */
#define ENSURE(condition)                                                  \
    ((condition) ? (void)0                                                 \
                 : base_fail(BASE_INTERNAL_ERROR, #condition, __FILE__,    \
                             __LINE__))

#endif
