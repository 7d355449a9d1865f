/* signaldiagram.h - the way of a signal as DOT text and in words. */
#ifndef KEEPCLEAR_PRESENT_SIGNALDIAGRAM_H
#define KEEPCLEAR_PRESENT_SIGNALDIAGRAM_H

#include <stdbool.h>

struct signal_way;
struct sources;
struct text;

/* Points that can be read in one picture; beyond SIGNALDIAGRAM_MOST there is
 * none. */
enum { SIGNALDIAGRAM_CLEAR = 30, SIGNALDIAGRAM_MOST = 60 };

bool signaldiagram_fits(const struct signal_way *way);

/* The picture; the way must fit.  Points have the ids p1, p2, ... in its
 * order. */
void signaldiagram_dot(struct text *out, const struct signal_way *way);

/* The shortest way to each end, then every point with what it reads. */
void signaldiagram_text(struct text *out, const struct signal_way *way,
                        const struct sources *sources);

#endif
