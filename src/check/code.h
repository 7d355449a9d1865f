/* code.h - checked expressions and statements.
 *
 * Names are resolved and types agree.  Both implementations read this form
 * and nothing else of the language.
 *
 * Variables.  A variable of control code is an offset in the frame of its
 * POU; the frame of an instance begins at a slot of the model (model.h), and
 * nested instances lie inside the frame of their owner, so that slot =
 * frame base + offset, whatever the depth.  Code of review texts has frame
 * base 0 and uses absolute slots only.
 *
 * Open places.  Each execution of a place in a scan has a choice row of its
 * own, numbered before the run (anyrow.h): row = base of the running text +
 * any; a program's base is program.any, that of review texts 0; a callee has
 * its caller's base + any of the call; pass k of a loop (from 0; the
 * condition looked at before it belongs to it) adds any + k * any_stride of
 * the loop.  A place with any_fixed has the one row `any` wherever and
 * however often it is executed.
 *
 * Comparing REALs.  With a constant: TYPE_NAN gives FALSE (<>: TRUE), else
 * the values are compared.  Two REALs: the same; but where both are the same
 * even value, the row says -1 (left is less), 0 (equal) or 1.
 */
#ifndef KEEPCLEAR_CHECK_CODE_H
#define KEEPCLEAR_CHECK_CODE_H

#include <stdbool.h>
#include <stdint.h>

#include "check/standard_function.h"
#include "check/type.h"
#include "source/source.h"

/* Where a variable lies. */
enum code_base {
    CODE_LOCAL,  /* frame base + index */
    CODE_GLOBAL, /* slot index itself */
    CODE_IN_OUT  /* index-th VAR_IN_OUT of the running POU: an alias of the
                    variable bound by the call */
};

/* [ value ] in one dimension, where the value is not known before the
 * start. */
struct code_index {
    const struct code_expr *value;
    int64_t low, high; /* of the dimension */
    uint32_t stride;   /* slots from one index to the next */
    uint32_t site;     /* ERROR_INDEX, or CODE_NO_SITE */
};

/* The place of the variable is base and index, + offset + the sum of
 * (value - low) * stride over its steps: indices that are known have gone
 * into index (CODE_IN_OUT: into offset).  A variable of a type with several
 * values begins there. */
struct code_variable {
    enum code_base base;
    uint32_t index;
    uint32_t offset; /* CODE_IN_OUT: slots behind where the alias begins */
    uint32_t n_steps;
    const struct code_index *steps; /* evaluated in order */
};

enum code_op {
    /* leaves */
    CODE_CONST,    /* value */
    CODE_VARIABLE, /* variable; `when` NOW or PREVIOUS */
    CODE_HAND,     /* position of control `index` */
    CODE_CONTACT,  /* contact `index`: sound value, from its hand */
    CODE_CONDUCTS, /* contact `index` with the faults present (WIRING) */
    CODE_SENSOR,   /* sensor `index`: its ON WHEN */
    CODE_SENSED,   /* sensor `index` with the faults present (WIRING) */
    CODE_DISPLACED,/* `variable` of a MECHANISM as it stands for sensor
                      `index`, displaced by faults (step.md, section 3) */
    CODE_READ,     /* program input slot `index` as sampled */
    CODE_COMMANDED,/* command of actuator `index` */
    CODE_FAULT,    /* fault `index` present */
    CODE_POWER, CODE_COLD, CODE_WARM, CODE_ELAPSED,
    CODE_TRUE_FOR, /* clock `index` of the model: left held long enough */
    /* operators; every side is evaluated */
    CODE_NOT, CODE_AND, CODE_OR, CODE_XOR,          /* BOOL */
    CODE_AND_THEN, CODE_OR_ELSE, /* BOOL; right only if left leaves it open,
                      `asks`: where SETTING_CONDITIONS leaves it out */
    CODE_EQ, CODE_NE, CODE_LT, CODE_LE, CODE_GT, CODE_GE,
    CODE_NEGATE, CODE_ADD, CODE_SUB, CODE_MUL, CODE_DIV, CODE_MOD,
    CODE_CALL,     /* function `pou` with args */
    CODE_BIT,      /* BOOL: bit `index` of left */
    CODE_WITH_BIT, /* left with right in the place of bit `index` */
    CODE_BIT_AND, CODE_BIT_OR, CODE_BIT_XOR, CODE_BIT_NOT, /* within the
                      width of `type` */
    CODE_STANDARD, /* standard function `function` of args, all ARG_INPUT,
                      evaluated in order */
    CODE_CONVERT,  /* left as a value of `type` (docs/notes/step.md) */
    CODE_ROUND,    /* the REAL left as a whole number of `type`, rounded as
                      SETTING_ROUNDING says if `asks`, else as `index`
                      (ROUNDING_); where its value stands for numbers that
                      come to several ones, right, a CODE_ANY, decides
                      (rounded.h) */
    CODE_ANY       /* all args are evaluated, in order; then any value of
                      `type`: that of choice row `any` (below) */
};

/* Which judging a leaf speaks of (docs/notes/step.md, section 1). */
enum code_when {
    CODE_NOW,
    CODE_PREVIOUS, /* PREVIOUS x: without an edge in first, dark, returned */
    CODE_LAST      /* as it really was at the previous judging: hands and
                      contacts in MECHANISM */
};

struct code_arg;

struct code_expr {
    enum code_op op;
    enum code_when when;
    const struct type *type;
    struct span span;
    int64_t value;
    uint32_t index;
    struct code_variable variable;
    const struct code_expr *left, *right;
    const struct code_pou *pou;
    enum code_function function; /* CODE_STANDARD */
    const struct code_arg *args; /* n_args of them */
    uint32_t n_args;
    uint32_t site; /* run-time error site, or CODE_NO_SITE */
    bool turns;    /* a result beyond the type is what SETTING_OVERFLOW says;
                      else always an error */
    bool asks;     /* CODE_AND_THEN, CODE_OR_ELSE made of AND, OR;
                      CODE_ROUND */
    uint32_t place; /* row of the model's open places, or CODE_NO_SITE:
                       CODE_ANY, a comparison of two REALs that may come
                       out either way, MIN MAX LIMIT of REALs */
    uint32_t any;   /* its choice row (above); CODE_CALL: what is added for
                       the callee */
    bool any_fixed;           /* `any` is the row itself */
    bool any_known;           /* any is set */
    struct span declared; /* CODE_CONST read from a CONSTANT: where that is
                             declared; else no place */
};

#define CODE_NO_SITE UINT32_MAX

/* One argument of a call.  All inputs, and the places of all VAR_IN_OUT, are
 * evaluated in order before any input is stored; outputs are copied back
 * after the body, each place evaluated then. */
struct code_arg {
    enum { ARG_INPUT, ARG_OUTPUT, ARG_IN_OUT } kind;
    uint32_t parameter;            /* offset in the callee's frame; ARG_IN_OUT:
                                      index among its VAR_IN_OUT */
    const struct code_expr *value; /* ARG_INPUT */
    struct code_variable target;   /* ARG_OUTPUT, ARG_IN_OUT */
    const struct type *target_type;
    uint32_t site; /* subrange site of the stored value, or CODE_NO_SITE */
};

/* A value of several slots is handed on slot by slot: its expression is
 * CODE_VARIABLE (CODE_NOW) or CODE_CALL, and stands right of := or is an
 * argument.  An assignment evaluates its value first, then the place. */

/* Loops have their body in branches[0].  FOR: from (value), to and by are
 * evaluated once, in this order; then the control variable takes from, and
 * before each pass it is compared with to.  Behind a pass it grows by by,
 * also behind the last one.  RETURN leaves the POU, in a PROGRAM for this
 * scan. */
enum code_stmt_kind {
    CODE_ASSIGN, CODE_INVOKE, CODE_IF, CODE_CASE, CODE_MAY,
    CODE_FOR,    /* target, value = from, to, by */
    CODE_WHILE,  /* value = condition, before each pass */
    CODE_REPEAT, /* value = UNTIL condition, after each pass */
    CODE_EXIT, CODE_CONTINUE, /* of the innermost loop, `loop` */
    CODE_RETURN               /* of `pou` */
};

/* Where a statement can lead away to instead of the one behind it. */
enum { LEAVES_LOOP = 1, LEAVES_POU = 2 };

struct code_label {
    int64_t low, high; /* inclusive */
};

struct code_branch {
    const struct code_expr *condition; /* CODE_IF; NULL: ELSE */
    const struct code_label *labels;   /* CODE_CASE; n_labels 0: ELSE */
    uint32_t n_labels;
    const struct code_stmt *body; /* n_body of them */
    uint32_t n_body;
    struct span span;
    uint32_t branch; /* row in the model's branch table, or CODE_NO_SITE; a
                        missing ELSE has none */
};

/* What a loop needs besides its statement. */
struct code_loop {
    const struct code_stmt *stmt;
    uint32_t passes;                 /* in one execution at most; without a
                                        site it never has more */
    struct span head;                /* what is shown of it */
    /* CODE_FOR */
    const struct code_expr *counter; /* the control variable, read */
    const struct code_expr *to, *by; /* by NULL: 1 */
    uint32_t start_site;             /* from does not fit the variable */
    uint32_t step_site;              /* by is 0 */
    uint32_t count_site;             /* it grows out of its type */
    bool asks;  /* SETTING_LOOPS says what the variable has behind it */
    struct code_stmt *open; /* while it is checked: a FOR of which nobody
                               knows how often it runs */
};

struct code_stmt {
    enum code_stmt_kind kind;
    struct span span;
    struct code_variable target;   /* CODE_ASSIGN */
    const struct type *target_type;
    const struct code_expr *value; /* CODE_ASSIGN; CODE_CASE selector; loops */
    uint32_t site;                 /* CODE_ASSIGN: subrange, or CODE_NO_SITE;
                                      loops: one pass more than `passes` */
    const struct code_pou *pou;    /* CODE_INVOKE: a block or program */
    struct code_variable instance; /* where its frame begins; evaluated
                                      before the arguments */
    const struct code_arg *args;
    uint32_t n_args;
    const struct code_branch *branches; /* IF, CASE, MAY in order */
    uint32_t n_branches;
    uint32_t choice; /* CODE_MAY: row of the choice table; value 0 declined,
                        i > 0 branch i - 1 */
    uint32_t leaves; /* LEAVES_: what running it can do */
    uint32_t stretch; /* 1 + row in the model's table of stretches, where one
                         begins with it; else 0 */
    const struct code_loop *loop; /* loops; EXIT, CONTINUE: the one left */
    uint32_t any;        /* CODE_INVOKE: as of a call; loops: added in the first
                            pass */
    uint32_t any_stride; /* loops: rows of one pass */
};

/* What a standard block does is fixed (docs/notes/step.md, section 4); its
 * frame holds these offsets. */
enum code_standard {
    STANDARD_NONE, STANDARD_TON, STANDARD_TOF, STANDARD_TP,
    STANDARD_R_TRIG, STANDARD_F_TRIG, STANDARD_SR, STANDARD_RS,
    STANDARD_CTU, STANDARD_CTD, STANDARD_CTUD
};

enum { /* frames of TON, TOF, TP */
    TIMER_IN, TIMER_PT, TIMER_Q, TIMER_ET,
    TIMER_M,       /* TP: last IN; TOF: armed; TON: unused */
    TIMER_RUNNING,
    TIMER_DONE,    /* TP: over, IN still TRUE; TON, TOF: over, where
                      SETTING_ELAPSED stops the age there */
    TIMER_AGE,
    TIMER_HELD,    /* PT as it was at the start: SETTING_PRESETS */
    TIMER_SIZE
};
enum { EDGE_CLK, EDGE_Q, EDGE_M, EDGE_SIZE };           /* R_TRIG, F_TRIG */
enum { /* frames of CTU, CTD, CTUD; what a block has no use for is 0 */
    COUNTER_CU, COUNTER_CD, COUNTER_R, COUNTER_LD, COUNTER_PV,
    COUNTER_QU, COUNTER_QD, COUNTER_CV, /* as a call by place lists them */
    COUNTER_MU, COUNTER_MD, /* last CU, last CD */
    COUNTER_SIZE
};
enum { STANDARD_MOST_SIZE = COUNTER_SIZE };
enum { LATCH_S, LATCH_R, LATCH_Q1, LATCH_SIZE };        /* SR: S1 R; RS: S R1 */

struct code_frame_var {
    const struct name *name; /* spelled as declared */
    const struct type *type; /* NULL: an instance of `pou` */
    const struct code_pou *pou;
    uint32_t offset;
    int64_t initial;
    const int64_t *initials; /* of all its slots; NULL: initial, of one */
    bool retain, temp; /* temp: set to initial at every call */
    bool constant;
    struct span span;
};

/* A POU that the review needs.  FUNCTION: its result is the variable at
 * `result`; all its variables are temp; one static frame per function
 * (recursion is refused). */
struct code_pou {
    const struct name *name;
    enum { POU_PROGRAM, POU_BLOCK, POU_FUNCTION } kind;
    enum code_standard standard;
    const struct code_frame_var *vars;
    uint32_t n_vars;
    uint32_t size;     /* slots of a frame, nested instances included */
    uint32_t n_in_out;
    const uint32_t *in_out_size; /* slots of each */
    uint32_t result;   /* FUNCTION: offset */
    uint32_t frame;    /* FUNCTION: slot at which its static frame begins */
    const struct code_stmt *body;
    uint32_t n_body;
    uint32_t any_width; /* choice rows that one execution takes */
    bool unknown;       /* declared UNKNOWN: the body was made for it */
    struct span span;
};

/* Slots of a variable of a frame. */
uint32_t code_var_size(const struct code_frame_var *var);

/* How far behind its first slot a variable of `size` slots can lie or reach,
 * whatever its indices: all of it lies in so many slots from there. */
uint32_t code_reach(const struct code_variable *variable, uint32_t size);

/* The variable that lies so many slots behind, in the same element. */
struct code_variable code_behind(struct code_variable variable,
                                 uint32_t slots);

#endif
