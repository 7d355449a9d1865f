/* draft.h - the model while it is being made.
 *
 * One draft per run of the check.  Its growing lists become the arrays of
 * the model at the end.  A list in the draft moves when it grows: keep
 * numbers, not pointers.
 */
#ifndef KEEPCLEAR_CHECK_DRAFT_H
#define KEEPCLEAR_CHECK_DRAFT_H

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "check/scope.h"
#include "lang/review.h"
#include "source/diag.h"

enum {
    DRAFT_MAX_SLOTS = 100000,
    DRAFT_MAX_DEPTH = 1200,  /* of expressions and statements */
    DRAFT_MAX_VALUES = 4096 /* of a free choice */
};

/* Where a control variable is first read and written by a text. */
struct use {
    struct span read, written;
    struct span wired;  /* assigned in WIRING IN */
    uint64_t bits_read, bits_written, bits_lent; /* alone (inside.h) */
    bool whole_written; /* or more than one bit of it */
    struct span driven; /* the signal, FIXED or SHARED that drives it */
    bool shared;
    const struct symbol *symbol; /* of a program or global, else NULL */
    struct unit *program;        /* NULL: global */
};

/* A variable at a place that is known, and two that share a part of one. */
struct placed {
    const char *location;
    struct span where; /* of the place */
    const struct type *type;
    struct span span;
    const struct unit *unit; /* NULL: a global */
};
struct meeting {
    const struct placed *a, *b;
    bool open, error; /* open: by what the controller does */
};

/* A POU on its way into the model. */
struct inner;
struct unit {
    const struct tree_pou *tree; /* NULL: standard block */
    const struct name *name;
    struct code_pou *pou;
    struct scope scope;
    const struct type *type; /* of its instances (shape.h), once needed */
    int state;          /* SYMBOL_FRESH .. SYMBOL_DONE */
    bool broken;        /* its declarations have mistakes */
    bool reads_globals; /* its result depends on more than its inputs */
    const struct tree_unknown *unknown; /* declared so, or NULL */
    bool walked;        /* of the search for recursion */
    uint32_t laid;      /* instances that have slots */
    struct inner *inner; /* of a block, per slot (inside.h), or NULL */
    unsigned call_depth; /* of the functions that it calls */
    unsigned variant;    /* of its text, for ARRAY [*]; 0: the first */
    struct unit *next_variant;
    const struct tree_action *action; /* its body is that ACTION, its frame
                                         that of `of`; or NULL */
    const struct unit *of;
    struct unit *next_action;
    struct span called; /* where a program first calls it (called.h) */
    struct span review_call;  /* where a review text first calls it */
    VEC(struct unit *) calls; /* functions it calls */
};

/* An instance of a block that has its slots (inside.h). */
struct laid {
    struct unit *unit, *program; /* program NULL: of the globals */
    uint32_t slot;
};

struct elementary {
    const struct type *boolean, *time, *dint, *lint, *integer;
    const struct type *bits[4]; /* BYTE, WORD, DWORD, LWORD */
    const struct type *literal; /* a whole number without a type yet */
    const struct type *real, *lreal, *real_literal;
    const struct type *text, *date, *time_of_day, *date_and_time;
    const struct type *order; /* -1, 0, 1 */
};

/* Why control text may not assign a variable. */
enum kept { KEPT_NOT, KEPT_CONSTANT, KEPT_INPUT };

/* Such a variable handed over to a VAR_IN_OUT, which must not write it. */
struct lent {
    enum kept kept;
    const struct name *name;
    struct span span;
    const struct unit *unit;
    uint32_t in_out;
};

/* One VAR_IN_OUT of a unit, slot by slot (alias.h), and a variable that was
 * handed over to one. */
struct touched;
struct alias {
    const struct unit *unit;
    uint32_t in_out, size;
    struct touched *at;
};
struct handed {
    struct unit *by;
    const struct unit *to;
    uint32_t frame; /* of `by`, a PROGRAM, or MODEL_NONE */
    uint32_t in_out;
    struct code_variable variable;
    struct span span;
};

/* What a further round of the check leaves open or holds (wide.h). */
struct held {
    struct span span; /* of the variable */
    bool all;         /* no part of it is written */
    bool wide;        /* only parts of so many values that not each is tried */
};

/* Of one dimension that is written [*], at its place (type_dim, open), in a
 * variant of its POU: that of each call or instance with bounds of its own. */
struct bounds {
    struct span span;
    unsigned variant;
    int64_t low, high;
};

/* Where another variant is meant: a call of a function, or an instance, in
 * that variant of the POU around it. */
struct variant {
    struct span span;
    unsigned within, number;
    bool alone; /* made for it */
};

/* Bits of a word that come from outside (partly.h). */
struct part {
    struct span span; /* of the variable */
    uint64_t bits;
};

struct widening {
    VEC(struct part) parts;
    VEC(struct span) open;
    VEC(struct held) held;
    size_t before; /* of open, those of earlier rounds */
    VEC(double) reals; /* computed of constants: numbers of the texts, too */
    VEC(struct bounds) bounds; /* of ARRAY [*] */
    VEC(struct variant) variants;
    unsigned n_variants; /* numbers given so far */
    VEC(struct span) few; /* heads of loops followed for a few passes only */
    uint32_t bits; /* of the inputs of which all values are tried */
    bool again;  /* this round asked for another one */
    bool closed; /* there will be none */
};

/* A kind of words spared in a text (told.h). */
struct told_row {
    int kind;
    uint32_t n;
    struct span first;
};

struct env;

struct draft {
    /* Types name units and paths hold expressions, which stand above them:
     * the way back up. */
    struct unit *(*unit_named)(struct draft *draft, const struct name *name,
                               struct span span, bool *known);
    struct code_expr *(*expr_check)(struct env *env,
                                    const struct tree_expr *tree,
                                    const struct type *wanted);
    const struct type *(*type_of)(struct draft *draft,
                                  const struct scope *scope,
                                  const struct tree_type *tree);
    bool (*constant)(struct draft *draft, const struct scope *scope,
                     const struct tree_expr *tree, const struct type *type,
                     int64_t *value);
    struct arena *arena;
    struct names *names;
    const struct sources *sources;
    struct diags *diags;
    const struct tree_run *run;
    const struct need *need; /* NULL: everything is needed */
    struct elementary types;
    struct model *model;
    int64_t scan_least, scan_step; /* the longest is in the model */
    struct scope type_scope, item_scope, unit_scope, globals, review;
    struct scope bodies;      /* mechanisms and recorders */
    struct scope labels;      /* assumptions, hazards, requirements */
    VEC(struct unit *) units; /* all made, in order of first need */
    VEC(struct missing *) missing; /* needed blocks without a text */
    size_t units_checked;     /* of them, bodies done */
    struct scope places;       /* by their names: symbols with `placed` */
    VEC(struct placed) placed; /* variables with a place of their own */
    VEC(struct meeting) meeting; /* told of */
    bool unlaid; /* variables with a mistake have no slots: the review text,
                    which speaks of slots, is not looked at */
    VEC(struct unit *) open;  /* being declared, outermost first */
    const struct tree_type *last_tree; /* "a, b : (X, Y)" is one type */
    const struct type *last_type;
    unsigned variant;     /* of the POU that is being read */
    struct span lacking;  /* of a parameter that is being declared and may be
                             an ARRAY [*]; else no place */
    unsigned type_depth; /* of types within types being read */

    VEC(struct slot) slots;
    VEC(struct use) uses; /* one per slot */
    VEC(struct error_site) errors;
    VEC(struct branch_site) branches;
    VEC(struct stretch) stretches;
    VEC(struct control) controls;
    VEC(struct contact) contacts;
    VEC(struct sensor) sensors;
    VEC(struct actuator) actuators;
    VEC(struct program) programs; /* those that others call come last */
    size_t n_running;             /* of them, those that run by themselves */
    VEC(struct unit *) program_units;
    VEC(const struct name *) program_names; /* of them, or of instances */
    VEC(const struct code_pou *) functions;
    VEC(struct movement) movements;
    VEC(struct body) mechanisms;
    VEC(struct body) recorders;
    VEC(struct fault) faults;
    VEC(struct effect) effects;
    VEC(struct cause) causes;
    VEC(struct assumption) assumptions;
    VEC(struct intended) intended;
    VEC(struct hazard) hazards;
    VEC(struct clock) clocks;
    VEC(struct requirement) requirements;
    VEC(struct used_template) used;
    VEC(struct scenario) scenarios;
    VEC(struct fixed) fixed;
    VEC(struct remark) remarks;
    VEC(struct acceptance) acceptances;
    VEC(struct harmless) harmless;
    VEC(struct open_place) open_places;
    VEC(struct unknown) unknown;
    VEC(struct choice) choices;
    struct widening *widening; /* or NULL */
    VEC(struct told_row) told;
    VEC(struct lent) lent;
    VEC(struct alias) aliases;
    VEC(struct handed) handed;
    VEC(struct laid) laid;
    VEC(struct code_stmt *) mays;
    VEC(const struct code_expr *) edges; /* made of RISING and FALLING */
    VEC(bool) contact_used; /* per contact: WIRING or MECHANISM reads it */
    VEC(bool) sensor_used;  /* per sensor: WIRING reads it */
};

/* Elementary types and empty lists; what is given is borrowed.  run is NULL
 * until the caller sets it. */
void draft_init(struct draft *draft, struct arena *arena,
                struct names *names, const struct sources *sources,
                struct diags *diags);

/* Frees the lists; the model stays in its arena. */
void draft_release(struct draft *draft);

/* Copies the lists into the model. */
void draft_finish(struct draft *draft);

/* A new run-time error site; its number. */
uint32_t draft_site(struct draft *draft, enum error_kind kind,
                    bool in_review, struct span span);

/* Adds a slot with nothing but what is given; its number.  False when there
 * are too many (reported once). */
bool draft_slot(struct draft *draft, const struct slot *slot,
                uint32_t *number);

/* The text of a span, blanks and comments squeezed to one blank, at most 200
 * bytes; in the arena. */
const char *draft_words(const struct draft *draft, struct span span);

/* The same name, for showing only, in the spelling of the place where it is
 * declared: a name that stands elsewhere too has the first spelling of all.
 * `folded` is shared. */
const struct name *draft_named(const struct draft *draft,
                               const struct name *name, struct span span);

/* A declared name as it is spelled where it is declared. */
const char *draft_spelling(const struct draft *draft,
                           const struct name *name, struct span span);

/* Line on which a span begins. */
uint32_t draft_line(const struct draft *draft, struct span span);

/* The first mention wins. */
void draft_note(struct span *first, struct span span);

#endif
