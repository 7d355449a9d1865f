/* random_review.h - small random machines as text, for comparing the two
 * implementations.  The same seed gives the same text on every machine. */
#ifndef KEEPCLEAR_TESTS_RANDOM_REVIEW_H
#define KEEPCLEAR_TESTS_RANDOM_REVIEW_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

/* What a random machine is made of. */
struct random_parts {
    bool power;       /* RETAIN variables, so power may go */
    bool faults;
    bool movements;   /* with and without times */
    bool assumptions; /* relational, temporal, some that block */
    bool timers;
    bool possible;    /* set by the caller: one requirement, POSSIBLE */
    bool despite;     /* set by the caller: that one despite faults */
    bool again;       /* set by the caller: one, ALWAYS POSSIBLE AGAIN, some
                         with WHILE, BY, DESPITE; with a free input d, a
                         variable lock, some with a function, a relay in
                         WIRING IN, TRUE FOR */
    bool leaning;     /* set by the caller: requirements that may follow from
                         assumptions, mechanism or wiring alone */
    bool relay;       /* with faults: a relay between a command and its valve,
                         and faults of it */
    bool shared;      /* with again: a SHARED variable */
    bool range;       /* set by the caller: SCAN with a range */
    bool open;        /* set by the caller: REALs, texts and an UNKNOWN block,
                         compared and computed with */
    bool loops;       /* set by the caller: loops, EXIT, CONTINUE, RETURN, S=,
                         AND_THEN in the control text */
    bool settings;    /* set by the caller: where controllers differ, and a
                         section CONTROLLER */
    bool noticing;    /* set by the caller: NOTICING and EXCEPT; faults */
    bool every;       /* set by the caller: a second program, and one or both
                         run every few scans */
};

/* Appends a control text and a review text (without CONTROL line) to the two
 * texts.  parts gets what was put in; what the caller sets is read
 * from it. */
void random_review(uint64_t seed, struct text *control, struct text *review,
                   struct random_parts *parts);

#endif
