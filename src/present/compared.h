/* compared.h - what came of comparing two versions. */
#ifndef KEEPCLEAR_PRESENT_COMPARED_H
#define KEEPCLEAR_PRESENT_COMPARED_H

struct comparison;
struct findings;
struct review_differences;
struct sources;
struct text;

/* Borrowed; old and new are judged each for itself. */
struct compared_view {
    const char *was, *is;           /* what was given, as it is named */
    const struct comparison *comparison; /* NULL: not put side by side */
    const struct findings *before, *after;
    const struct sources *old_sources, *new_sources;
    const struct review_differences *reviews; /* NULL: one review text */
};

/* The whole: first the answer, then what differs with its sequences, names
 * without a partner, requirements before and after, where to sign. */
void compared_add(struct text *out, const struct compared_view *view);

#endif
