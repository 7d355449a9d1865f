/* pit.h - what stays possible in a trap, and how far that was checked. */
#ifndef KEEPCLEAR_PRESENT_PIT_H
#define KEEPCLEAR_PRESENT_PIT_H

struct model;
struct requirement;
struct sources;
struct text;
struct trap;

/* Two lines under a log sheet: what machine and outputs can still be, and
 * how much the second implementation walked; or that it was too much. */
void pit_add(struct text *out, const struct model *model,
             const struct sources *sources,
             const struct requirement *requirement, const struct trap *trap);

#endif
