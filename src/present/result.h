/* result.h - the whole result of a check, in words. */
#ifndef KEEPCLEAR_PRESENT_RESULT_H
#define KEEPCLEAR_PRESENT_RESULT_H

#include "present/verdict.h"

/* Verdicts, run-time errors, dead ends, branches nothing can reach, the
 * inputs by kind, the assumptions, what was looked at, and the limits of
 * what this shows. */
void result_add(struct text *out, const struct view *view);

#endif
