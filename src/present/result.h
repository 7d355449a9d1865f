/* result.h - the whole result of a check, in words. */
#ifndef KEEPCLEAR_PRESENT_RESULT_H
#define KEEPCLEAR_PRESENT_RESULT_H

#include "present/verdict.h"

/* Verdicts, run-time errors, dead ends, branches nothing can reach, the
 * inputs by kind, the assumptions, what was looked at, and the limits of
 * what this shows. */
void result_add(struct text *out, const struct view *view);

/* What this can not show, as every result says it. */
void result_cautions(struct text *out);

/* The same piece by piece, as it becomes known: what was added already, zeros
 * to begin with. */
struct result_told {
    bool begun;
    uint32_t n_requirements;
};

/* Adds what findings that are not at their end hold beyond that: run-time
 * errors, then requirements. */
void result_go_on(struct text *out, const struct view *view,
                  struct result_told *told);

/* Adds all that is left; the findings are at their end. */
void result_end(struct text *out, const struct view *view,
                struct result_told *told);

#endif
