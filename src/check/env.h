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

struct env {
    struct draft *draft;
    enum text_kind text;
    struct unit *unit; /* TEXT_CONTROL: the POU, else NULL */
    uint32_t frame;    /* a PROGRAM's frame, or MODEL_NONE */
    uint32_t owner;    /* number of the recorder or mechanism */
    unsigned depth;    /* of nesting */
    bool in_edge;      /* inside PREVIOUS, RISING or FALLING */
    bool past;         /* inside PREVIOUS: nothing of now is read */
};

#endif
