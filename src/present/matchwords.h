/* matchwords.h - whether a recorded log fits, in words. */
#ifndef KEEPCLEAR_PRESENT_MATCHWORDS_H
#define KEEPCLEAR_PRESENT_MATCHWORDS_H

struct match_findings;
struct text;

/* All that was found of a log that could be read. */
void matchwords_add(struct text *out, const struct match_findings *found);

#endif
