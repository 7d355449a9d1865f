/* written.h - how each variable comes about in a scan, as it is written: the
 * statements that assign it, put together into one expression over names.
 *
 * For people who ask why.  A name stands for its value at the end of the scan
 * where nothing assigns it any more, or for the one before the scan where
 * nothing has assigned it yet; what lies between is written out.  What is not
 * followed (functions, loops, arrays with an index, standard blocks) is said
 * to be unknown.  Nothing here is exact under faults, without power or in a
 * program that rests in this scan: whoever shows it compares it with the
 * value that is there.
 */
#ifndef KEEPCLEAR_STUDY_WRITTEN_H
#define KEEPCLEAR_STUDY_WRITTEN_H

#include <stdint.h>

#include "check/model.h"

struct arena;

enum written_op {
    WRITTEN_UNKNOWN,
    WRITTEN_CONST,   /* value */
    WRITTEN_NOW,     /* variable `index` at the end of the scan */
    WRITTEN_BEFORE,  /* before it */
    WRITTEN_HAND,    /* position of control `index` */
    WRITTEN_CONTACT, /* contact `index`; value: 1 + the program input that
                        samples it, or 0 */
    WRITTEN_SENSOR,  /* sensor `index` */
    WRITTEN_TIME,    /* the time of the timer at variable `index` has run */
    WRITTEN_NOT, WRITTEN_AND, WRITTEN_OR, WRITTEN_XOR,
    WRITTEN_IF,      /* a ? b : c */
    WRITTEN_EQ, WRITTEN_LT, WRITTEN_LE
};

struct written {
    enum written_op op;
    int64_t value;
    uint32_t index;
    const struct type *type; /* of a name */
    const struct written *a, *b, *c;
    uint32_t size;           /* expressions in it */
};

enum { WRITTEN_PLACES = 3, WRITTEN_MOST = 300 };

/* Of one variable. */
struct written_slot {
    const struct written *expr; /* NULL: nothing assigns it, or it is too
                                   large to be read */
    struct span places[WRITTEN_PLACES]; /* of the last assignments */
    uint32_t n_places;
};

/* Per slot of the model; lies in the arena. */
const struct written_slot *written_find(struct arena *arena,
                                        const struct model *model);

#endif
