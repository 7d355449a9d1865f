/* native.h - the explorer that somebody would write for one model by hand,
 * written from the slice as C, compiled and run: on demand (recursive forks
 * where an undecided choice is read), and with all inputs. */
#ifndef KEEPCLEAR_BENCH_NATIVE_H
#define KEEPCLEAR_BENCH_NATIVE_H

#include "tests/bench/native/task.h"

struct slice;
struct text;

struct native;

/* Appends the text of the explorer. */
void native_write(struct text *out, const struct slice *slice);

/* Writes, compiles (gcc -O3 -march=native) and loads; name: of the files
 * made in the folder of the bench.  NULL with a message when the compiler
 * fails. */
struct native *native_make(const struct slice *slice, const char *name);
void native_free(struct native *native);

void native_run(const struct native *native, struct native_task *task);

double native_compile_seconds(const struct native *native);

#endif
