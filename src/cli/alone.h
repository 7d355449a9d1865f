/* alone.h - `check` of texts without a PROGRAM: each function and block by
 * itself. */
#ifndef KEEPCLEAR_CLI_ALONE_H
#define KEEPCLEAR_CLI_ALONE_H

struct alone;
struct loaded;
struct options;

/* Judges them one after the other and shows each as it is known; gives the
 * exit code of the whole. */
int alone_check(const struct options *options, const struct loaded *loaded,
                const struct alone *alone);

#endif
