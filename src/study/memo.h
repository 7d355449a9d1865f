/* memo.h - what engines found, so that what was asked before, alone or
 * beside other things, is not asked again.
 *
 * Two slices of one flat logic with the same cells and the same assumptions,
 * under the same fixed choices, faults, ends and times, have the same
 * situations, level by level: the next value of a cell is one expression of
 * the flat logic, whoever asks for it, and closed under reading.  They differ
 * only in what they watch.
 */
#ifndef KEEPCLEAR_STUDY_MEMO_H
#define KEEPCLEAR_STUDY_MEMO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct answer;
struct arena;
struct memo;
struct reach;
struct study;

/* Lies in the arena. */
struct memo *memo_new(struct arena *arena);

/* What makes the situations of an answer's slice what they are. */
struct memo_core {
    const uint64_t *words; /* in the arena of the study */
    size_t n;
};

struct memo_core memo_core(struct study *study, const struct answer *answer);

bool memo_same(const struct memo_core *a, const struct memo_core *b);

/* What is known of an answer's question: every watch that it wants seen was
 * seen, or everything was looked at.  NULL: not enough is known.  Lies in the
 * answer's arena; until is per watch of its slice, or NULL. */
const struct reach *memo_find(struct study *study,
                              const struct memo_core *core,
                              struct answer *answer);

/* Keeps the reach of an answer. */
void memo_keep(struct study *study, const struct memo_core *core,
               const struct answer *answer);

#endif
