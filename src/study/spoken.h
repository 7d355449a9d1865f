/* spoken.h - a line that a person types while running a machine by hand.
 *
 *     hold close_left        turn mode to Auto      wait 300ms
 *     release close_left     set axle_load to 11500 back 2
 *
 * Steps of a SCENARIO are understood as they are written there.
 */
#ifndef KEEPCLEAR_STUDY_SPOKEN_H
#define KEEPCLEAR_STUDY_SPOKEN_H

#include <stdint.h>

#include "study/outing.h"

struct arena;
struct names;
struct text;

enum spoken_kind {
    SPOKEN_NOTHING, /* an empty line or a comment */
    SPOKEN_WRONG,   /* failure says what and what to do */
    SPOKEN_HOLD, SPOKEN_RELEASE, SPOKEN_TURN, SPOKEN_SET, SPOKEN_START,
    SPOKEN_MOVE, SPOKEN_FAULT, SPOKEN_POWER, SPOKEN_WAIT, SPOKEN_PACE,
    SPOKEN_NEXT, SPOKEN_BACK, SPOKEN_SHOW, SPOKEN_WHY, SPOKEN_SAVE,
    SPOKEN_HELP, SPOKEN_QUIT
};

struct spoken {
    enum spoken_kind kind;
    uint32_t row;   /* choice row; MOVE, WHY: slot; FAULT: fault */
    int64_t value;  /* POWER: 1 on; WAIT, NEXT, BACK: scans, 1 or more; PACE:
                       ms */
    const char *name;    /* as it is declared; SAVE: the file */
    const char *failure; /* SPOKEN_WRONG */
};

/* Reads one line, without its line end; what it points to lies in the
 * arena. */
struct spoken spoken_read(struct arena *arena, struct names *names,
                          const struct outing *outing, const char *line);

/* The words, and the names of this machine that go with them. */
void spoken_help(struct text *out, const struct outing *outing);

#endif
