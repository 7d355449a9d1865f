/* written.h - how each variable comes about in a scan, as it is written: the
 * statements that assign it, put together into one expression over names.
 *
 * For people who ask why.  A name stands for its value at the end of the scan
 * where nothing assigns it any more, or for the one before the scan where
 * nothing has assigned it yet; what lies between is written out.  Functions,
 * loops and elements of arrays are followed as far as they have few enough
 * passes and elements, standard blocks as far as words go.  What is not
 * followed is told by the names that it is reckoned from.  Nothing here is
 * exact under faults, without power or in a program that rests in this scan:
 * whoever shows it compares it with the value that is there.
 */
#ifndef KEEPCLEAR_STUDY_WRITTEN_H
#define KEEPCLEAR_STUDY_WRITTEN_H

#include <stdint.h>

#include "check/model.h"

struct arena;

enum written_op {
    WRITTEN_CONST,   /* value */
    WRITTEN_NOW,     /* variable `index` at the end of the scan */
    WRITTEN_BEFORE,  /* before it */
    WRITTEN_HAND,    /* position of control `index` */
    WRITTEN_CONTACT, /* contact `index`; value: 1 + the program input that
                        samples it, or 0 */
    WRITTEN_SENSOR,  /* sensor `index` */
    WRITTEN_GIVEN,   /* variable `index` as others left it: SHARED */
    WRITTEN_OPEN,    /* a value that the model leaves open */
    WRITTEN_TIME,    /* the time of the timer whose frame begins at variable
                        `index` has run; value: its enum code_standard; TP: its
                        pulse runs.  a: its IN */
    WRITTEN_COUNT,   /* the counter whose frame begins at variable `index` has
                        counted up to its PV; value 1: down to 0.  a: what is
                        counted; b: what sets it back */
    WRITTEN_RECKONED,/* what is reckoned from `of`, and from more */
    WRITTEN_NOT, WRITTEN_AND, WRITTEN_OR, WRITTEN_XOR,
    WRITTEN_IF,      /* a ? b : c */
    WRITTEN_EQ, WRITTEN_LT, WRITTEN_LE,
    WRITTEN_ADD, WRITTEN_SUB, WRITTEN_MUL,
    WRITTEN_DIV, WRITTEN_MOD, /* cut towards zero */
    WRITTEN_BIT,     /* bit `value` of a */
    WRITTEN_WITHIN   /* a, where it lies within `type`; else nothing is said */
};

struct written {
    enum written_op op;
    int64_t value;
    uint32_t index;
    bool alone; /* WRITTEN_TIME, WRITTEN_COUNT: called in one place only */
    const struct type *type; /* of its value; NULL: nobody needs it */
    const struct written *a, *b, *c;
    const struct written *const *of; /* leaves, each once */
    uint32_t n_of;
    bool more;
    uint32_t size;           /* expressions in it */
};

enum { WRITTEN_PLACES = 3, WRITTEN_MOST = 300, WRITTEN_OF = 8 };

/* Of one variable. */
struct written_slot {
    const struct written *expr; /* NULL: nothing assigns it */
    struct span places[WRITTEN_PLACES]; /* of the last assignments */
    uint32_t n_places;
};

/* Per slot of the model; lies in the arena. */
const struct written_slot *written_find(struct arena *arena,
                                        const struct model *model);

#endif
