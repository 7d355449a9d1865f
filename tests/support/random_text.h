/* random_text.h - random control texts over the whole control language, each
 * beside its translation to C.
 *
 * Both are written from one tree of choices, construct by construct, from the
 * rules of docs/language.md and docs/notes/step.md; nothing of the code under
 * test is asked.  The same seed gives the same texts on every machine.
 */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_TEXT_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_TEXT_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

struct random_text {
    const char *control;
    /* scan_<number>(), start_<number>(), give_<number>(const I *),
     * tell_<number>(I *): one scan, the situation before the first, the
     * inputs, the variables. */
    const char *c;
    const char *const *inputs; /* paths, in the order of give */
    uint32_t n_inputs;
    const char *const *leaves; /* paths, in the order of tell */
    uint32_t n_leaves;
};

enum { RANDOM_TEXT_SCAN = 100 /* ms, what the translation counts with */ };

/* What stands before all translations. */
const char *random_text_prelude(void);

/* all: with what has no translation as well: variables that outlast the loss
 * of power, several instances of a program, REAL. */
struct random_text random_text(struct arena *arena, uint64_t seed,
                               unsigned number, bool all);

#endif
