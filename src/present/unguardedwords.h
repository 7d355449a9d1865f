/* unguardedwords.h - which places of the control text no requirement
 * protects. */
#ifndef KEEPCLEAR_PRESENT_UNGUARDEDWORDS_H
#define KEEPCLEAR_PRESENT_UNGUARDEDWORDS_H

#include <stdbool.h>

struct sources;
struct text;
struct unguarded_findings;

/* The control text around the places that are open, each change in words;
 * then the requirements and how many changes each notices; then the counts.
 * all: every change with what became of it. */
void unguarded_add(struct text *out, const struct unguarded_findings *found,
                   const struct sources *sources, bool all);

/* A line for each change. */
void unguarded_csv(struct text *out, const struct unguarded_findings *found,
                   const struct sources *sources);

#endif
