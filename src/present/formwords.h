/* formwords.h - what a requirement asks, as one plain sentence. */
#ifndef KEEPCLEAR_PRESENT_FORMWORDS_H
#define KEEPCLEAR_PRESENT_FORMWORDS_H

struct plainly;
struct requirement;

/* "It never happens that tailgate lowers is on and ..." with the faults that
 * it must survive, and its times as they are judged. */
void formwords_add(const struct plainly *plainly,
                   const struct requirement *requirement);

#endif
