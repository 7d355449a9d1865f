/* templates.h - which templates were used, with what, and where a limit is
 * not that of the template. */
#ifndef KEEPCLEAR_PRESENT_TEMPLATES_H
#define KEEPCLEAR_PRESENT_TEMPLATES_H

#include <stdint.h>

struct model;
struct sources;
struct text;

/* Adds the list; how many there are. */
uint32_t templates_add(struct text *out, const struct model *model,
                       const struct sources *sources);

/* Adds a sentence for each limit that is looser without a reason. */
void templates_unexplained(struct text *out, const struct model *model);

#endif
