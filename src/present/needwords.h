/* needwords.h - what a thing needs, as numbered sentences with the user's
 * own text. */
#ifndef KEEPCLEAR_PRESENT_NEEDWORDS_H
#define KEEPCLEAR_PRESENT_NEEDWORDS_H

struct model;
struct need_list;
struct sources;
struct text;

/*      2.  Main.out on needs `state = Running` [two_hand.st, line 65] */
void needwords_add(struct text *out, const struct model *model,
                   const struct need_list *needs,
                   const struct sources *sources);

#endif
