/* sheetreach.h - the end of a test sheet: what it reaches, in which step, and
 * what it does not test, with the reason. */
#ifndef KEEPCLEAR_PRESENT_SHEETREACH_H
#define KEEPCLEAR_PRESENT_SHEETREACH_H

struct byhand_view;
struct sheetform;

void sheetreach_add(const struct sheetform *form,
                    const struct byhand_view *view);

#endif
