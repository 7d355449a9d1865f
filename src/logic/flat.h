/* flat.h - the flat logic: pure next-value expressions over stored cells and
 * choices.
 *
 * It knows no syntax.  Expressions are hash-consed: equal expressions are
 * the same number, children have smaller numbers than their parents, so
 * ascending numbers are a topological order and no recursion is needed.
 * Every value is an int64; BOOLs are 0 and 1.
 */
#ifndef KEEPCLEAR_LOGIC_FLAT_H
#define KEEPCLEAR_LOGIC_FLAT_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

typedef uint32_t flat_expr;

#define FLAT_NONE UINT32_MAX

enum flat_op {
    FLAT_CONST,  /* value */
    FLAT_CELL,   /* cell `a`: its value at the previous judging */
    FLAT_CHOICE, /* choice `a` of this scan: the value, not the index */
    FLAT_HOLE,   /* hole `a`: filled by the slice (below) */
    FLAT_NOT, FLAT_AND, FLAT_OR, FLAT_XOR, /* on 0 and 1 */
    FLAT_EQ, FLAT_LT, FLAT_LE,             /* 0 or 1 */
    FLAT_ADD, FLAT_SUB, FLAT_MUL,
    FLAT_DIV, FLAT_MOD, /* truncating; divisor 0 gives 0 (its error site
                           says so) */
    FLAT_MEET,   /* the bits that both have, in two's complement */
    FLAT_ITE     /* a ? b : c */
};

struct flat_node {
    enum flat_op op;
    flat_expr a, b, c; /* FLAT_NONE where unused */
    int64_t value;     /* FLAT_CONST */
    int64_t low, high; /* every value lies here */
};

/* What a hole stands for.  Holes let one logic serve several questions. */
enum flat_hole {
    HOLE_FIRST,   /* this is the first scan */
    HOLE_FAULT,   /* fault `index` is present now */
    HOLE_STUDIED, /* of each cause whose noticing is asked about, a fault was
                     there at the previous judging; FALSE where the request
                     names none */
    HOLE_CAUSE,   /* cause `index` of faults has occurred, now or before */
    HOLE_MAY,     /* movement `index` has waited its lower bound */
    HOLE_MUST     /* movement `index` has waited its upper bound */
};

/* Choices: engines treat them alike, studies do not. */
enum flat_kind {
    FLAT_TIME, FLAT_POWER, FLAT_FAULT, FLAT_START, FLAT_PAST, FLAT_MACHINE,
    FLAT_OPERATOR, FLAT_INPUT, FLAT_SHARED,
    FLAT_UNCOMMANDED, /* what a broken part does by itself */
    FLAT_ANY /* what the texts say is not followed here */
};

struct flat_choice {
    enum flat_kind kind;
    uint32_t count;
    const int64_t *values; /* by value index */
    uint32_t rest;         /* index of the value at rest */
    const char *name;      /* for listings */
    uint32_t cause;        /* FLAT_FAULT: the cause that occurs, or FLAT_NONE
                              where a fault only appears or goes */
};

/* What faults are counted by. */
struct flat_cause {
    uint32_t choice; /* 1: it occurs now, if it may */
    uint32_t cell;   /* it has occurred */
    bool first_only; /* in the first scan or never */
};

/* Present once its one cause has occurred; or, where it has a row of its own,
 * what that says while one of its causes has occurred. */
struct flat_fault {
    uint32_t choice; /* 1: it appears now, or goes; FLAT_NONE: no own row */
    uint32_t cell;   /* it is present; FLAT_NONE: no own row */
    const uint32_t *causes; uint32_t n_causes; /* none: never present */
    bool first_only; /* it appears in the first scan or never */
    bool goes;       /* what is present may go again */
};

/* One stored value. */
struct flat_cell {
    const char *name;      /* for listings */
    uint32_t kind, index;  /* whose it is: opaque here (check/model.h, enum
                              place_kind) */
    int64_t low, high;     /* values that can be stored */
    int64_t unit;          /* stored values are multiples of it (>= 1) */
    flat_expr initial;     /* before the first scan: a constant, or over
                              choices */
    flat_expr next;        /* after a judging */
};

enum flat_watch_kind {
    WATCH_BREACH,  /* requirement `index`; POSSIBLE: what it looks for */
    WATCH_TRIGGER, /* requirement index, trigger part */
    WATCH_ERROR,   /* error site `index` */
    WATCH_BRANCH,  /* branch site `index` is taken */
    WATCH_STRETCH, /* stretch `index` of statements is run */
    WATCH_DIFFERENCE, /* output `index` of two versions differs; part: 0 the
                         new one is ahead, 1 the old one */
    WATCH_ACT,     /* what an input does to an output: cell `index` of a chart,
                      part: which */
    WATCH_VECTOR,  /* decision `index` has the vector in row part of it */
    WATCH_NOTICE   /* of the faults studied: part is enum notice_part
                      (check/model.h) */
};

/* A condition at a judging, or for errors within the scan. */
struct flat_watch {
    enum flat_watch_kind kind;
    uint32_t index, part;
    flat_expr condition;
};

/* A movement variable or a MAY: something moves in this scan. */
struct flat_motion {
    flat_expr moved; /* 0 or 1 */
    uint32_t choice; /* its row */
};

struct flat_assumption {
    flat_expr condition;
    bool current_inputs_only; /* speaks of inputs of this scan alone */
};

struct flat {
    const struct flat_node *nodes;         uint32_t n_nodes;
    const struct flat_choice *choices;     uint32_t n_choices;
    const struct flat_cell *cells;         uint32_t n_cells;
    const struct flat_assumption *assumptions; uint32_t n_assumptions;
    const struct flat_watch *watches;      uint32_t n_watches;
    const struct flat_motion *motions;     uint32_t n_motions;
    const enum flat_hole *hole_kind;
    const uint32_t *hole_index;            uint32_t n_holes;
    const struct flat_cause *causes;       uint32_t n_causes;
    const struct flat_fault *faults;       uint32_t n_faults;
    const flat_expr *timed_may;  /* per movement: what HOLE_MAY is when times */
    const flat_expr *timed_must; /* count; without times TRUE and FALSE */
    uint32_t n_movements;
    const flat_expr *value;      /* per value asked for by a view: */
    uint32_t n_values;           /* index as lower/lower.h says */
};

#endif
