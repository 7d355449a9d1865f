/* random_loops.h - random control texts full of loops, of what leaves them,
 * and of conditions in turn, each with its translation to C.
 *
 * The translation is a function of its own that reads lines of inputs and
 * writes lines of results (random_loops_prologue tells their form).  It is
 * written beside the text, statement by statement, from the rules of the
 * standard and docs/language.md: C's own for, while, do, break, continue,
 * return, && and || stand for those of the text.
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_LOOPS_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_LOOPS_H

#include <stdint.h>

#include "base/text.h"

/* What stands before the translations: a line "1 a b n d" begins anew,
 * "0 a b n d" goes on, "2" goes to the next text.  Answer: "error", or the
 * values of random_loops_name in order. */
void random_loops_prologue(struct text *c);

/* Text number `seed` and its translation, the function text_<seed>. */
void random_loops(uint64_t seed, struct text *control, struct text *c);

/* The path of the n-th compared variable, NULL behind the last; likewise of
 * the inputs. */
const char *random_loops_name(unsigned n);
const char *random_loops_input(unsigned n);

#endif
