/* changes.h - every small change that could be made to the control text.
 *
 * Each operator, constant, condition and assignment is changed once, one at
 * a time, in the text itself; the list is the same on every machine.
 */
#ifndef KEEPCLEAR_STUDY_CHANGES_H
#define KEEPCLEAR_STUDY_CHANGES_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

struct arena;
struct loaded;
struct text;

enum change_kind {
    CHANGE_CONDITION,  /* a condition is negated */
    CHANGE_OPERATOR,   /* another operator, or NOT left out */
    CHANGE_COMPARISON, /* the other side of a boundary */
    CHANGE_CONSTANT,   /* one more, one less; a time by one scan */
    CHANGE_STATEMENT,  /* an assignment or a call is left out */
    CHANGE_KINDS
};

struct change {
    enum change_kind kind;
    struct span at;      /* what is replaced */
    const char *put;     /* by what */
    const char *words;   /* "OR instead of AND" */
    struct span shown;   /* the expression or statement it belongs to */
    const char *part;    /* program, block or function it is in, or global
                            variable */
    const char *name;    /* tells it from all others of that part: the text
                            that is shown, on one line, and the words; where
                            several have these in common, " (2 of 3)" between
                            them */
    bool real;           /* a number of a type with fractions */
};

/* The changes of every part of the control text that the run needs, in the
 * order of the text; lies in the arena. */
const struct change *changes_list(struct arena *arena,
                                  const struct loaded *loaded, uint32_t *n);

/* Appends the text of its file as the change leaves it. */
void changes_text(const struct loaded *loaded, const struct change *change,
                  struct text *out);

#endif
