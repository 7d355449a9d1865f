/* out.h - the terminal: results to standard output, the rest to standard
 * error. */
#ifndef KEEPCLEAR_CLI_OUT_H
#define KEEPCLEAR_CLI_OUT_H

#include <stdint.h>

struct loaded;
struct text;

/* Writes and checks; 0, or CLI_INTERNAL with a message. */
int out_write(const struct text *text);

/* Writes a file whole or not at all; 0, or CLI_INTERNAL with a message. */
int out_file(const char *path, const struct text *text);

/* To that file, or with NULL to standard output. */
int out_result(const char *path, const struct text *text);

/* "keepclear: …" and a line end on standard error. */
void out_complain(const char *format, ...)
    __attribute__((format(printf, 1, 2)));

/* The diagnostics of a load on standard error; CLI_INPUT when it failed, else
 * 0. */
int out_diagnostics(const struct loaded *loaded);

/* The same of one of several loads of the same texts: what is in `told` is
 * not told again; what is told is added to it. */
int out_diagnostics_once(const struct loaded *loaded, struct text *told);

/* A line of progress, on a terminal only; context: what was shown last, a
 * struct out_shown of zeros to begin with. */
struct out_shown {
    uint64_t situations;
    double at; /* seconds */
};
void out_progress(void *context, uint32_t level, uint64_t situations);

/* The same for what has a known number of parts, so many done. */
void out_part(uint32_t done, uint32_t all, const char *parts);

/* Removes the line of progress. */
void out_progress_end(void);

#endif
