/* titles.h - titles of controls, requirements and the like in another
 * language than the review text has them in.
 *
 * A line says `name = title`, or `name AT = place` for where a control, a
 * sensor or an actuator stands, or `name SEES = what` for what is seen from a
 * control; # begins a remark.
 */
#ifndef KEEPCLEAR_PRESENT_TITLES_H
#define KEEPCLEAR_PRESENT_TITLES_H

#include <stddef.h>

struct arena;
struct model;
struct text;

/* *model becomes a copy of itself with these titles; what no line names keeps
 * its own.  NULL, or a sentence with what is wrong and what to do; all of it
 * lies in the arena. */
const char *titles_read(struct arena *arena, const struct model **model,
                        const char *text, size_t n);

/* The lines that titles_read takes, with the titles that are there. */
void titles_lines(struct text *out, const struct model *model);

#endif
