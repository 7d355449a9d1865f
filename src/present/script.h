/* script.h - a sequence written as a SCENARIO, ready to be pasted into the
 * review text and to be played again. */
#ifndef KEEPCLEAR_PRESENT_SCRIPT_H
#define KEEPCLEAR_PRESENT_SCRIPT_H

struct outing;
struct text;

/* The scans that were run, then EXPECT lines: for each requirement that
 * broke, where it first broke, and for the actuators as they stand. */
void script_add(struct text *out, const struct outing *outing,
                const char *name);

#endif
