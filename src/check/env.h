/* env.h - where an expression or statement stands. */
#ifndef KEEPCLEAR_CHECK_ENV_H
#define KEEPCLEAR_CHECK_ENV_H

#include "check/draft.h"

enum text_kind {
    TEXT_CONTROL,
    TEXT_WIRING_IN,
    TEXT_WIRING_OUT,
    TEXT_MECHANISM,
    TEXT_ON_WHEN,
    TEXT_ASSUMPTION,
    TEXT_RECORDER,
    TEXT_REQUIREMENT,
    TEXT_EXPECT, /* of a SCENARIO */
    TEXT_KINDS
};

/* A loop around what is being checked, its control variable if it has one. */
struct env_loop {
    const struct env_loop *outer;
    const struct code_loop *loop;
    const struct code_variable *counter; /* NULL: WHILE, REPEAT */
    struct span span;                    /* of its head */
};

struct env {
    struct draft *draft;
    enum text_kind text;
    struct unit *unit; /* TEXT_CONTROL: the POU, else NULL */
    uint32_t frame;    /* a PROGRAM's frame, or MODEL_NONE */
    uint32_t owner;    /* number of the recorder or mechanism */
    unsigned depth;    /* of nesting */
    const struct env_loop *loop; /* the innermost, or NULL */
    bool drops;        /* a call whose result is dropped */
    bool lends;        /* a target is handed over to a VAR_IN_OUT */
    bool in_edge;      /* inside PREVIOUS, RISING or FALLING */
    bool past;         /* inside PREVIOUS: nothing of now is read */
};

#endif
