/* writtenmake.h - expressions over names (written.h), made with what is known
 * beforehand worked out.
 *
 * All lie in the arena.  An expression of more than WRITTEN_MOST parts becomes
 * one of WRITTEN_RECKONED: the names that it reads and no more.
 */
#ifndef KEEPCLEAR_STUDY_WRITTENMAKE_H
#define KEEPCLEAR_STUDY_WRITTENMAKE_H

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

/* `type` is BOOL in every model. */
const struct written *written_const(struct arena *arena, int64_t value,
                                    const struct type *type);
const struct written *written_leaf(struct arena *arena, enum written_op op,
                                   uint32_t index, const struct type *type);
const struct written *written_not(struct arena *arena,
                                  const struct written *a);

/* op: WRITTEN_AND to WRITTEN_XOR, WRITTEN_EQ to WRITTEN_MOD; type: of the
 * result. */
const struct written *written_pair(struct arena *arena, enum written_op op,
                                   const struct written *a,
                                   const struct written *b,
                                   const struct type *type);
const struct written *written_if(struct arena *arena,
                                 const struct written *condition,
                                 const struct written *yes,
                                 const struct written *no);

/* Kept as it is given, with its size counted. */
const struct written *written_made(struct arena *arena, struct written made);

/* What is reckoned from these in a way that is not followed; each may be
 * NULL. */
const struct written *written_reckoned(struct arena *arena,
                                       const struct written *a,
                                       const struct written *b,
                                       const struct written *c);

/* What is reckoned from these names and from others. */
const struct written *written_among(struct arena *arena,
                                    const struct written *a);

/* Is it that constant? */
bool written_is(const struct written *expr, int64_t value);

#endif
