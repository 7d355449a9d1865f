/* trace.h - what decided each value while the reference interpreter ran.
 *
 * A record of a sequence: nodes (expressions with their values) and events (a
 * thing was given a value), each with a serial number in order of execution.
 * The interpreter's results are the same with and without it.  All of it lies
 * in one arena and is read only.
 */
#ifndef KEEPCLEAR_REFERENCE_TRACE_H
#define KEEPCLEAR_REFERENCE_TRACE_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

/* What a value can be given to. */
enum trace_thing {
    THING_NONE,
    THING_SLOT,  /* a variable */
    THING_HAND,  /* the position of a control */
    THING_LINE,  /* what conducts: contact, or n_contacts + sensor */
    THING_FAULT,
    THING_POWER, /* index 0: lit */
    THING_OPEN,  /* an open place: choice row */
    THING_KINDS
};

/* An expression as it was evaluated. */
struct trace_node {
    const struct code_expr *expr; /* NULL: no condition stands there */
    int64_t value;
    const struct trace_node *left, *right; /* operands; left of a sensor: its
                                              ON WHEN; of TRUE FOR: what is
                                              held, NULL where it was not
                                              evaluated */
    const struct trace_node *const *indices; /* of an element: of its place,
                                                n_indices of them */
    uint32_t n_indices;
    enum trace_thing thing; /* of leaves that name something; OPEN: of what
                               came out as its row said */
    uint32_t index;
    bool before;     /* as at the judging before */
    uint32_t scan;   /* from 1 */
    uint64_t serial; /* sees the events with smaller numbers */
};

/* An IF, CASE or MAY that was run, or one pass of a loop. */
struct trace_guard {
    const struct code_stmt *stmt;
    uint32_t taken; /* branch, or n_branches: none */
    const struct code_stmt *left; /* EXIT, CONTINUE or RETURN that its branch
                                     ran itself, or NULL */
    const struct trace_node *const *condition; /* IF: 0 .. taken as far as
                                                  there; CASE: selector;
                                                  WHILE, REPEAT: condition;
                                                  FOR: from, to and by with
                                                  the first pass, the control
                                                  variable with all */
    uint32_t n_conditions;
    const struct trace_guard *outer; /* in whose branch it or its call stands */
    uint32_t base;   /* frame of its text */
    uint64_t serial; /* before its branch */
};

enum trace_kind {
    TRACE_ASSIGN,  /* a statement, an argument or a copied output */
    TRACE_COUNT,   /* a FOR counts on */
    TRACE_INITIAL, /* set to its initial value by a call */
    TRACE_RESTART, /* the same because power is off */
    TRACE_SAMPLE,  /* an input took what its line or its choice gives */
    TRACE_BLOCK,   /* a standard block set its output or memory */
    TRACE_COMMAND, /* an actuator follows the command slot */
    TRACE_FORCED,  /* a fault of the actuator `fault` */
    TRACE_MOVE,    /* MOVES */
    TRACE_OUTSIDE  /* a hand, a fault, power; what a line conducts */
};

/* A thing was given a value. */
struct trace_event {
    enum trace_kind kind;
    enum trace_thing thing;
    uint32_t index;
    int64_t value;
    uint32_t scan;
    uint64_t serial;
    struct span span;                /* file 0: no place */
    const struct trace_node *node;   /* ASSIGN: the value, NULL where an
                                        output was copied from slot `from`;
                                        MOVE: condition; line of a sensor: its
                                        ON WHEN */
    const struct trace_node *const *indices; /* ASSIGN of an element: of the
                                                place written to */
    uint32_t n_indices;
    const struct trace_guard *guard; /* in whose branch it stood, or NULL */
    const struct trace_event *last;  /* of the same thing, or NULL */
    const struct code_pou *pou;      /* BLOCK, argument: the one called */
    uint32_t frame;                  /* BLOCK: of the instance */
    uint32_t from;                   /* COMMAND, copied output: slot */
    uint32_t fault;                  /* FORCED */
    bool argument;                   /* ASSIGN: passed into a call */
};

/* What the requirement was judged from; NULL: its form has none. */
struct trace_judging {
    const struct trace_node *a, *b, *c, *a_previous;
    const struct trace_node *const *started, *const *cancelled;
    const struct trace_node *noticed; /* of EXCEPT UNTIL NOTICED */
    bool flag; /* its memory after this judging */
};

struct trace_scan {
    bool dark;
    int64_t time;        /* of its judging, ms from that of scan 1 on */
    uint64_t begin, end; /* serials: begin <= all of it < end */
    const struct trace_guard *const *guards;
    uint32_t n_guards;
    const struct trace_node *const *movements; /* conditions; none in the
                                                  first scan of all */
    uint32_t n_movements;
    const struct trace_node *const *assumptions; /* as far as looked at,
                                                    dropped ones left out */
    uint32_t n_assumptions;
    struct trace_judging judging;
};

struct trace {
    const struct model *model;
    uint32_t requirement;
    uint32_t first, n_scans; /* scans[i] is scan first + i, from 1 */
    const struct trace_scan *scans;
    const int64_t *start[THING_KINDS]; /* values before the record */
    const struct trace_event *const *latest[THING_KINDS];
    const struct trace_node *error; /* the operator that ended it, or NULL */
};

/* The scan with that number, which is recorded. */
const struct trace_scan *trace_at(const struct trace *trace, uint32_t scan);

/* When a scan, recorded or 0 or 1, was judged: ms from scan 1 on. */
int64_t trace_time(const struct trace *trace, uint32_t scan);

/* The last event of a thing with a serial below, or NULL: it has its value
 * from before the record. */
const struct trace_event *trace_last(const struct trace *trace,
                                     enum trace_thing thing, uint32_t index,
                                     uint64_t below);

/* The value of a slot, hand, fault or power seen with that serial. */
int64_t trace_value(const struct trace *trace, enum trace_thing thing,
                    uint32_t index, uint64_t below);

/* The scan in which a slot, hand, fault or power got the value that it has
 * with that serial and kept over the judgings since; 0: before the record. */
uint32_t trace_since(const struct trace *trace, enum trace_thing thing,
                     uint32_t index, uint64_t below);

#endif
