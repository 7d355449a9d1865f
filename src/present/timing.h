/* timing.h - a sequence as a timing diagram: time across, a lane for each
 * thing that takes part. */
#ifndef KEEPCLEAR_PRESENT_TIMING_H
#define KEEPCLEAR_PRESENT_TIMING_H

#include <stdbool.h>
#include <stdint.h>

struct lanes;
struct text;

/* A number at a decisive moment, which a sentence elsewhere explains. */
struct timing_mark {
    uint32_t scan;    /* from 0, of the whole sequence */
    const char *lane; /* name of the lane; NULL: at the time axis */
    uint32_t number;
};

struct timing {
    const struct lanes *lanes;
    const char *title;  /* "R3 both buttons within half a second" */
    const char *what;   /* "the shortest way to break it" */
    const char *at_end; /* what is so in the last scan: "R3 is broken" */
    const struct timing_mark *marks; /* n_marks of them, or NULL */
    uint32_t n_marks;
};

/* Does the mark stand in the lane of that name (NULL: at the time axis)? */
bool timing_mark_in(const struct timing_mark *mark, const char *lane);

/* A picture of its own, at home on a page of A4.  Black on white; what is on
 * is filled.  The same bytes whenever the sequence is the same. */
void timing_svg(struct text *out, const struct timing *timing);

#endif
