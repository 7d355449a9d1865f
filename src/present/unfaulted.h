/* unfaulted.h - what no fault is declared for. */
#ifndef KEEPCLEAR_PRESENT_UNFAULTED_H
#define KEEPCLEAR_PRESENT_UNFAULTED_H

struct model;
struct text;

/* A line each for contacts, sensors and actuators on which no fault acts,
 * excluded ones among them, each begun by `before`; nothing where there are
 * none. */
void unfaulted_add(struct text *out, const struct model *model,
                   const char *before);

#endif
