/* subject.h - a random machine, read and made ready for both
 * implementations. */
#ifndef KEEPCLEAR_TESTS_SUBJECT_H
#define KEEPCLEAR_TESTS_SUBJECT_H

#include <stdbool.h>
#include <stdint.h>

#include "tests/support/random_review.h"

struct subject {
    uint64_t seed; /* set by the caller */
    bool possible;
    bool despite;  /* set by the caller: a POSSIBLE, despite faults */
    bool again;    /* set by the caller: ALWAYS POSSIBLE AGAIN, one */
    bool leaning;  /* set by the caller: requirements that may follow from
                      assumptions, mechanism or wiring alone */
    bool range;    /* set by the caller: SCAN with a range */
    bool open;     /* set by the caller: values that are not followed */
    bool loops;    /* set by the caller: loops in the control text */
    bool settings; /* set by the caller: what controllers do differently */
    bool noticing; /* set by the caller: NOTICING, and exceptions */
    bool every;    /* set by the caller: programs that run every few scans */
    struct arena *arena;
    struct names *names;
    struct sources *sources;
    struct diags *diags;
    const struct model *model;
    struct lowered *lowered;
    struct machine *machine;
    struct random_parts parts;
};

/* Makes the texts of the seed and reads them; possible: its one requirement
 * is a POSSIBLE.  Fails the test when they do not read. */
void subject_read(struct subject *subject, bool possible);

void subject_release(struct subject *subject);

/* Prints seed, texts and what is wrong. */
void subject_complain(const struct subject *subject, const char *what);

#endif
