/* stoptext.h - a stop map as text of at most 100 columns. */
#ifndef KEEPCLEAR_PRESENT_STOPTEXT_H
#define KEEPCLEAR_PRESENT_STOPTEXT_H

struct sources;
struct stopmap;
struct text;

void stoptext_add(struct text *out, const struct stopmap *map,
                  const struct sources *sources);

#endif
