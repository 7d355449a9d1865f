/* lessonnames.h - what the values of a logic are called, as data of the
 * trainer's page. */
#ifndef KEEPCLEAR_PRESENT_LESSONNAMES_H
#define KEEPCLEAR_PRESENT_LESSONNAMES_H

#include <stdint.h>

struct lesson_logic;
struct text;
struct type;

/* Member `names`, begun by a comma: the values that have a name, each with
 * kind, text and type. */
void lessonnames_add(struct text *out, const struct lesson_logic *logic);

/* null (two values), "time", "number", "cell" (a REAL, a text: no number that
 * could be shown), or the list of items. */
void lessonnames_type(struct text *out, const struct type *type);

/* The number of a variable among the values of the slice. */
uint32_t lessonnames_slot(const struct lesson_logic *logic, uint32_t slot);

#endif
