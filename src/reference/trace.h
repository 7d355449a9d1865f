/* trace.h - what decided each value while the reference interpreter ran.
 *
 * An observer: the interpreter tells it which expressions it evaluated, what
 * they read, and what they were stored into; the results are the same with
 * and without it.  The record is a web of nodes (expressions with their
 * values) and events (a thing was given a value), each with a serial number
 * in order of execution, and lives in an arena.
 */
#ifndef KEEPCLEAR_REFERENCE_TRACE_H
#define KEEPCLEAR_REFERENCE_TRACE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/vec.h"
#include "check/model.h"
#include "reference/setting.h"

struct arena;
struct machine;
struct trace_event;

/* What a value can be given to. */
enum trace_thing {
    THING_NONE,
    THING_SLOT,    /* a variable */
    THING_HAND,    /* the position of a control */
    THING_LINE,    /* what a line conducts: contact, n_contacts + sensor */
    THING_FAULT,
    THING_POWER,   /* 0 */
    THING_COMMAND  /* only as a leaf: COMMANDED of an actuator */
};

/* An expression as it was evaluated. */
struct trace_node {
    const struct code_expr *expr; /* NULL: no condition, TRUE */
    int64_t value;
    const struct trace_node *left, *right; /* operands; left of a sensor: its
                                              ON WHEN; of TRUE FOR: what is
                                              held */
    enum trace_thing thing; /* leaves that name something */
    uint32_t index;
    int64_t held;           /* value of that thing: a contact's hand */
    bool before;            /* as at the judging before */
    const struct trace_event *from; /* what gave the thing its value; NULL:
                                       it has it from the beginning */
    uint32_t scan;   /* from 1 */
    uint64_t serial;
};

/* An IF, CASE or MAY that was run. */
struct trace_guard {
    const struct code_stmt *stmt;
    uint32_t taken;   /* branch, or n_branches: none */
    const struct trace_node *const *condition; /* IF: 0 .. taken, as far as
                                                  there; CASE: the selector */
    uint32_t n_conditions;
    const struct trace_guard *outer; /* the one in whose branch it stands,
                                        of the same text */
    uint32_t base;    /* frame of the text */
    uint64_t serial;
};

enum trace_kind {
    TRACE_ASSIGN,  /* a statement or an argument */
    TRACE_INITIAL, /* set to the initial value: temp, restart in the dark */
    TRACE_SAMPLE,  /* an input was sampled: from its line or a choice */
    TRACE_BLOCK,   /* a standard block gave its output a value */
    TRACE_COMMAND, /* an unwired actuator follows its command */
    TRACE_FAULT,   /* a fault of an actuator; the fault appeared */
    TRACE_MOVE,    /* MOVES */
    TRACE_HAND,    /* a control took another position */
    TRACE_LINE,    /* a line conducts */
    TRACE_POWER    /* power went or returned */
};

/* A thing was given a value. */
struct trace_event {
    enum trace_kind kind;
    enum trace_thing thing;
    uint32_t index;
    int64_t value;
    uint32_t scan;
    uint64_t serial;
    struct span span;                 /* the statement; none: no place */
    const struct trace_node *node;    /* ASSIGN: the value; MOVE: condition */
    const struct trace_guard *guard;  /* in whose branch it stood */
    const struct trace_event *last;   /* of the same thing, before */
    const struct trace_event *source; /* SAMPLE: the line's; LINE: the hand's,
                                         or NULL; COMMAND: the command's */
    const struct trace_event *other;  /* BLOCK: of its second input */
    const struct trace_event *began;  /* BLOCK: when it began to run */
    const struct code_pou *pou;       /* BLOCK */
    uint32_t frame;                   /* BLOCK */
    uint32_t fault;                   /* LINE, FAULT: the one that decides, or
                                         MODEL_NONE */
    bool argument;                    /* ASSIGN: passed into a call */
    bool unlike;                      /* BLOCK: its input was called with
                                         another value before, see why */
};

/* What a requirement was judged from. */
struct trace_judging {
    const struct trace_node *a, *b, *c, *a_previous;
    const struct trace_node *const *started, *const *cancelled;
    bool flag, breach; /* memory after this judging */
};

/* One scan of the record. */
struct trace_scan {
    bool dark, returned;
    uint64_t serial; /* the first one of the scan behind it */
    const struct trace_guard *const *guards;
    uint32_t n_guards;
    const struct trace_event *const *slot; /* per slot, last event so far */
    struct trace_judging judging;
};

struct trace {
    const struct model *model;
    uint32_t requirement;  /* whose judgings are recorded, or MODEL_NONE */
    uint32_t first;        /* scan with which the record begins, from 1 */
    uint32_t n_scans;      /* scans[i] is scan first + i */
    const struct trace_scan *scans;
    const int64_t *start;  /* values of the slots before the record */
    const struct trace_node *error; /* what ended the last scan, or NULL */
    bool complete;         /* all was recorded */
};

/* Plays length rows of choices once more and records; the sequence was
 * accepted by replay_run before.  Longer ones are recorded from their end as
 * far as memory is kept within bounds.  Lies in the arena. */
const struct trace *trace_run(struct arena *arena, const struct model *model,
                              const struct step_setting *setting,
                              const uint32_t *const *choices,
                              uint32_t length, uint32_t requirement);

/* Value of a slot before the first recorded scan. */
int64_t trace_start(const struct trace *trace, uint32_t slot);

#endif
