/* caption.h - what stands over and under a situation diagram, whatever its
 * form. */
#ifndef KEEPCLEAR_PRESENT_CAPTION_H
#define KEEPCLEAR_PRESENT_CAPTION_H

#include <stddef.h>

struct map;
struct sources;
struct text;

/* Name of the review, what it is shown by, how much lies behind it; says
 * first when it is not complete. */
void caption_title(struct text *out, const struct map *map);

/* What boxes, arrows and labels claim, and what they do not. */
void caption_legend(struct text *out, const struct map *map,
                    const struct sources *sources);

/* Breaks lines longer than `columns` at blanks; continued lines begin with
 * `indent` blanks. */
void caption_wrap(struct text *out, const char *lines, size_t columns,
                  size_t indent);

#endif
