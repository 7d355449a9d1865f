/* random_maker.h - the parts of the generator of random control texts
 * (random_text.h). */
#ifndef KEEPCLEAR_TESTS_SUPPORT_RANDOM_MAKER_H
#define KEEPCLEAR_TESTS_SUPPORT_RANDOM_MAKER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

struct arena;

/* The same thing in both languages; every value in C is an I, int64_t. */
struct both {
    const char *st, *c;
    bool acts;  /* evaluating it may write a variable */
    bool fixed; /* known when the text is read */
};

enum shape {
    SHAPE_BOOL, SHAPE_INTEGER, SHAPE_BITS, SHAPE_TIME, SHAPE_ENUM,
    SHAPE_REAL, /* only in texts without a translation */
    SHAPE_ARRAY, SHAPE_STRUCT, SHAPE_BLOCK
};

struct kind;

struct field {
    const char *name;
    const struct kind *kind;
    const char *initial; /* NULL: that of the kind; as written and in C */
};

enum { MOST_FIELDS = 12, MOST_ITEMS = 4 };

struct kind {
    enum shape shape;
    const char *st, *c;
    int64_t low, high;
    unsigned width;          /* SHAPE_INTEGER, SHAPE_BITS: bits */
    const struct kind *base; /* of a subrange; else NULL */
    /* SHAPE_ENUM */
    const char *items[MOST_ITEMS];
    int numbers[MOST_ITEMS];
    unsigned n_items;
    /* SHAPE_ARRAY */
    const struct kind *element;
    unsigned n_dims;
    int from[2], to[2];
    /* SHAPE_STRUCT, SHAPE_BLOCK; of a block all that is seen from outside */
    struct field fields[MOST_FIELDS];
    unsigned n_fields;
    struct unit *unit;   /* SHAPE_BLOCK: of the text; NULL: a standard one */
    const char *inputs;  /* of a standard block: "IN PT" */
    const char *names;   /* in C: the function to call */
};

enum mode { MODE_INPUT, MODE_OUTPUT, MODE_IN_OUT };

struct parameter {
    const char *name;
    const struct kind *kind;
    enum mode mode;
};

enum { MOST_PARAMETERS = 8, MOST_VARIABLES = 64, MOST_KINDS = 48 };

/* A function or block of the text. */
struct unit {
    const char *name, *c;
    const struct kind *result; /* NULL: a block */
    struct parameter parameters[MOST_PARAMETERS];
    unsigned n_parameters;
    unsigned cost; /* statements that it runs at most */
};

struct variable {
    const char *st, *c;
    const struct kind *kind;
    bool written; /* may be */
    bool fixed;
    bool locked;  /* counts a loop that is open */
    bool counter;
    bool shared;  /* other texts may write it */
};

enum where { IN_FUNCTION, IN_BLOCK, IN_PROGRAM };

struct maker {
    struct arena *arena;
    uint64_t seed;
    unsigned number;
    struct text st, c;
    bool all; /* what has no translation too */
    enum where where;
    bool calls;  /* Main calls Second */
    bool called; /* this program is the one */
    struct variable variables[MOST_VARIABLES]; /* that are seen */
    unsigned n_variables;
    const struct kind *kinds[MOST_KINDS]; /* of this text: no blocks */
    unsigned n_kinds, n_own;
    const struct kind *few;  /* a subrange */
    const struct kind *real; /* or NULL */
    const struct kind *blocks[12];
    unsigned n_blocks;
    struct unit functions[3];
    unsigned n_functions;
    unsigned loops, weight, cost;
    unsigned indices; /* one in another */
    struct text inputs, leaves; /* paths, one a line */
    struct text give, tell, start;
};

/* ---- random_maker.c ---- */

unsigned any(struct maker *m, unsigned below);
bool chance(struct maker *m, unsigned percent);
const char *phrase(struct maker *m, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
const char *number_in_c(struct maker *m, int64_t value);

/* ---- random_whole.c: false where nothing of that kind can be written ---- */

bool assign_chosen(struct maker *m);
bool assign_chained(struct maker *m);

/* ---- random_kinds.c ---- */

enum elementary {
    BOOL, SINT, INT, DINT, LINT, USINT, UINT, UDINT, ULINT, BYTE, WORD,
    DWORD, LWORD, TIME, ELEMENTARY
};

const struct kind *elementary(enum elementary which);
bool is_elementary(const struct kind *kind);
const struct kind *base_of(const struct kind *kind);

/* Declares the types of the text. */
void make_kinds(struct maker *m);

/* The initial value of a kind, an expression in C. */
const char *initial_of(struct maker *m, const struct kind *kind);

/* A value of an elementary kind: a literal in both languages. */
struct both literal(struct maker *m, const struct kind *kind, bool typed);
struct both literal_of(struct maker *m, const struct kind *kind,
                       int64_t value, bool typed);

/* Any kind of a variable: elementary, or made for the text. */
const struct kind *pick_kind(struct maker *m);
const struct kind *pick_elementary(struct maker *m);

/* ---- random_expr.c ---- */

struct place {
    struct both both;
    const struct kind *kind;
};

enum wanted { WANT_READ, WANT_WRITTEN };

/* A variable or part of one of that base kind (same: of that very kind);
 * false: there is none. */
bool find_place(struct maker *m, const struct kind *kind, bool same,
                enum wanted wanted, struct place *out);

/* A value of an elementary base kind; exact: not of a narrower one. */
struct both make(struct maker *m, const struct kind *kind, unsigned depth,
                 bool exact);

/* A value for a place of that kind, nearly always one that fits. */
struct both fitting(struct maker *m, const struct kind *kind,
                    unsigned depth);

/* A whole array or structure; false: there is none. */
bool make_whole(struct maker *m, const struct kind *kind, struct both *out);

/* ---- random_call.c ---- */

/* A call of the function; its parameters are found. */
bool call_function(struct maker *m, const struct unit *unit,
                   struct both *out);
/* A statement. */
bool call_block(struct maker *m);

/* ---- random_stmt.c ---- */

void statements(struct maker *m, unsigned n, unsigned depth);

#endif
