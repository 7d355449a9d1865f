/* listed.h - the reading list: what was read, what was not, and why. */
#ifndef KEEPCLEAR_PRESENT_LISTED_H
#define KEEPCLEAR_PRESENT_LISTED_H

struct contents;
struct sources;
struct text;

void listed_add(struct text *out, const struct contents *contents,
                const struct sources *sources);

#endif
