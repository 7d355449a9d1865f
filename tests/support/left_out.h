/* left_out.h - a random machine without its programs, for the reference
 * interpreter: in their place stand texts whose every assignment may happen
 * or not.  It shares nothing with the way in which the flat logic leaves them
 * out. */
#ifndef KEEPCLEAR_TESTS_LEFT_OUT_H
#define KEEPCLEAR_TESTS_LEFT_OUT_H

#include <stdbool.h>

struct arena;
struct model;
struct requirement_finding;
struct subject;

/* at_will: WIRING OUT is left out too, and valves and the program variable
 * that requirements read take any value in the dark as well; else programs
 * only, and what they command is free while lit.  In the arena. */
const struct model *left_out(struct arena *arena, const struct model *model,
                             bool at_will);

/* Does finding->part say of a requirement kept in the whole what enumeration
 * without the programs says?  True as well where that is too large.  parts:
 * per enum part, how often it was compared. */
bool left_out_agrees(const struct subject *subject,
                     const struct requirement_finding *finding,
                     unsigned parts[6]);

#endif
