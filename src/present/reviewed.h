/* reviewed.h - where two review texts differ, in words. */
#ifndef KEEPCLEAR_PRESENT_REVIEWED_H
#define KEEPCLEAR_PRESENT_REVIEWED_H

struct review_differences;
struct sources;
struct text;

/* First what shows less than before, or may. */
void reviewed_add(struct text *out, const struct review_differences *found,
                  const struct sources *was, const struct sources *is);

#endif
