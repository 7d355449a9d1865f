/* sym.h - the state of one symbolic scan: every text of a model is run
 * once, with expressions instead of values.
 *
 * One set of expressions serves all scans: HOLE_FIRST says which is the
 * first, the POWER choice which are dark.  The files of this floor fill and
 * read this state in the order that step.c sets out.
 */
#ifndef KEEPCLEAR_LOWER_SYM_H
#define KEEPCLEAR_LOWER_SYM_H

#include "check/model.h"
#include "lower/bounds.h"
#include "lower/env.h"

struct arena;
struct lower_limits;
struct will;

/* One remembered value: what it was at the previous judging, and its cell,
 * or FLAT_NONE for what never changes. */
struct kept {
    flat_expr before;
    uint32_t cell;
};

/* A run-time error site on the way. */
struct raised {
    flat_expr condition;
    uint32_t order; /* of its first execution; FLAT_NONE: not executed */
};

/* The greatest PT that a call passed to a timer, and where. */
struct preset {
    int64_t most; /* -1: never called */
    struct span span;
};

/* Where a computed index led to a slot (element.h): so many conditions, and
 * comparisons in them, are looked at. */
enum { SYM_TESTS = 4 };

struct element {
    flat_expr when[SYM_TESTS];
    uint32_t n;
    flat_expr from, to; /* the last value that was split, or FLAT_NONE, and
                           what it became */
};

/* Values of the environment behind the slots: what was left (leave.h). */
enum { SYM_EXTRA = 3 };

struct sym {
    struct arena *arena;
    const struct model *model;
    struct flat_builder *builder;
    const struct bounds *bounds; /* per slot, aligned */
    const struct will *will; /* what stands in for the programs; NULL: they
                                run */
    struct env env;

    flat_expr elapsed; /* of this scan, ms; not read in the first */
    int64_t step;      /* a common divisor of all it can be */
    flat_expr first, dark, lit, returned, no_edge;
    flat_expr path;    /* under which the running text is executed */
    bool assuming;     /* free inputs read as chosen in this scan */
    bool silent;       /* errors are not recorded */

    struct kept was_dark;
    struct kept *slot, *hand, *contact_last, *sensor_last; /* per thing */
    struct kept *commanded, *cause, *fault, *total, *unbroken;
    struct kept *clock_was, *clock_age, *flag, *age, *phase;
    struct kept *since;              /* per requirement, EXCEPT WITHIN */
    struct kept notice[NOTICE_MEMORIES];

    flat_expr *fault_now;      /* per fault: its hole */
    flat_expr *cause_now;      /* per cause: its hole */
    flat_expr *hand_now;       /* per control: its choice */
    flat_expr *conducts;       /* per contact, then per sensor */
    flat_expr *sampled;        /* per slot, inputs only: after step 5 */
    flat_expr *command;        /* per actuator */
    bool *written;             /* per slot, with will: by what is left out;
                                  SYM_EXTRA more */
    struct element *element;   /* per slot */
    uint64_t splitting;        /* nodes that may still be looked at to split
                                  elements */
    flat_expr *clock_value;    /* per clock; FLAT_NONE: not yet */
    flat_expr *assumption;     /* per assumption */
    flat_expr *branch;         /* per branch site: taken */
    flat_expr *stretch;        /* per stretch: run */
    flat_expr *condition;      /* per condition of a decision, where the
                                  model names them: its value, */
    flat_expr *asked;          /* and the path on which it was evaluated */
    flat_expr *vector;         /* per vector of them: the decision had it */
    flat_expr *moved;          /* per choice row, else FLAT_NONE */
    flat_expr *timed_may, *timed_must; /* per movement */
    flat_expr *breach;         /* per requirement */
    flat_expr *const *trigger; /* per requirement and trigger */
    flat_expr noticed[NOTICE_PARTS]; /* with NOTICING */
    flat_expr studied_before;  /* its hole */
    struct raised *raised;     /* per error site */
    uint32_t n_raised;         /* sites executed so far */
    flat_expr failed;          /* any of them, so far */
    uint32_t passes;           /* of all loops so far */
    const struct code_stmt *too_long; /* the loop at which there were too
                                         many, or NULL */
    struct preset *preset;     /* per slot, used at ages of timers */
    const struct lower_limits *limits; /* NULL: none */
    bool stopped;              /* they were met: nothing here counts */

    VEC(struct flat_cell) cells;
    VEC(enum flat_hole) hole_kind;
    VEC(uint32_t) hole_index;
};

/* Everything at the beginning of a scan; what lies in it stays in the arena
 * except what sym_release frees.  will: NULL, or made for this very model
 * (then model is will's). */
void sym_init(struct sym *sym, struct arena *arena,
               const struct model *model, const struct bounds *bounds,
               const struct will *will);
void sym_release(struct sym *sym);

/* A new hole. */
flat_expr sym_hole(struct sym *sym, enum flat_hole kind, uint32_t index);

/* The choice of a row, as a value. */
flat_expr sym_choice(struct sym *sym, uint32_t row);

/* What a kept value will be at the next judging. */
void sym_keep(struct sym *sym, struct kept kept, flat_expr next);

/* Records that a run-time error happens at site when condition holds on the
 * present path; CODE_NO_SITE is ignored. */
void sym_raise(struct sym *sym, uint32_t site, flat_expr condition);

/* Has any error been raised so far in this scan? */
flat_expr sym_raised(const struct sym *sym);

/* Records that the present path takes a branch, unless silent; CODE_NO_SITE
 * is ignored. */
void sym_branch(struct sym *sym, uint32_t branch);

/* The same of the stretch that a statement begins (check/code.h), or 0. */
void sym_stretch(struct sym *sym, uint32_t stretch);

/* Is it the program's turn in this scan, if it is lit?  Does it then run: no
 * fault stops it? */
flat_expr sym_turn(const struct sym *sym, uint32_t program);
flat_expr sym_due(const struct sym *sym, uint32_t program);

/* Must the texts be left? */
bool sym_stops(struct sym *sym);

/* Is this a variable of control text, lost when power goes? */
bool sym_is_control(const struct slot *slot);

/* Can a later scan read what it holds? */
bool sym_remembers(const struct slot *slot);

#endif
