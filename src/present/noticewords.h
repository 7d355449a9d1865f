/* noticewords.h - what a verdict says of faults that are noticed. */
#ifndef KEEPCLEAR_PRESENT_NOTICEWORDS_H
#define KEEPCLEAR_PRESENT_NOTICEWORDS_H

#include <stdint.h>

struct model;
struct requirement;
struct requirement_finding;
struct text;

/* Behind the number of faults: " and another after one ..." and " · except
 * ..."; nothing where nothing is said. */
void noticewords_condition(struct text *out,
                           const struct requirement *requirement);

/* AND ANOTHER: the lines that say which faults may be followed by another,
 * indented; a note on faults that come and go. */
void noticewords_lines(struct text *out, const struct model *model,
                       const struct requirement_finding *finding,
                       uint32_t indent);

/* What the sequence of a breach is: "the shortest way to break it"; or, where a
 * shorter one takes faults of which it is not known whether they are noticed,
 * that. */
const char *noticewords_way(const struct requirement_finding *finding);

#endif
