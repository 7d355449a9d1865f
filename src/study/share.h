/* share.h - requirements whose slices have the same situations are asked in
 * one run. */
#ifndef KEEPCLEAR_STUDY_SHARE_H
#define KEEPCLEAR_STUDY_SHARE_H

#include "study/question.h"

struct share;

/* Lies in the arena. */
struct share *share_new(struct arena *arena);

/* The question that asks for a requirement's breach and triggers and those
 * of every other requirement of the study whose slice has the same
 * situations; false: there is none, or it is no such question.  What `wider`
 * points to lies in the answer's arena.  A question that forbids sets of
 * causes, or may be given up, is shared with nobody. */
bool share_widen(struct study *study, const struct question *question,
                 struct answer *answer, struct question *wider);

#endif
