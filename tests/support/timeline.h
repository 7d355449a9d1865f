/* timeline.h - timing diagrams as text, one character a scan: '-' is TRUE or
 * closed, '_' is FALSE, '0' to '9' a number of scan times.
 *
 * A diagram is run scan by scan through both implementations, then asked as a
 * requirement: a script plays the inputs, and in no reachable situation is an
 * output other than drawn. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_TIMELINE_H
#define KEEPCLEAR_TESTS_SUPPORT_TIMELINE_H

#include <stdint.h>

enum { TIMELINE_ROWS = 4 };

/* Lines are all of one length.  An input is a BOOL input of the program Main,
 * an output one of its variables. */
struct timeline {
    const char *title;
    const char *control;
    uint32_t scan_ms;
    struct timeline_row {
        const char *name, *line; /* NULL behind the last */
    } inputs[TIMELINE_ROWS], outputs[TIMELINE_ROWS];
};

/* The test fails where the diagram does not hold. */
void timeline_holds(const struct timeline *timeline);

/* The main job finds the requirement of the first output broken, by a
 * sequence that ends with this scan, the first of the diagram being 1. */
void timeline_breaks(const struct timeline *timeline, uint32_t scan);

#endif
