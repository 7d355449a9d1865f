/* lessonnames.h - what the values of a logic are called, as data of the
 * trainer's page. */
#ifndef KEEPCLEAR_PRESENT_LESSONNAMES_H
#define KEEPCLEAR_PRESENT_LESSONNAMES_H

#include <stdint.h>

struct lesson_logic;
struct text;
struct type;

/* Members `names` (values that have a name), `cells` (per cell of the slice)
 * and `rows` (per choice), each begun by a comma. */
void lessonnames_add(struct text *out, const struct lesson_logic *logic);

/* null (two values), "time", "number", or the list of items. */
void lessonnames_type(struct text *out, const struct type *type);

/* The number of a variable among the values of the slice. */
uint32_t lessonnames_slot(const struct lesson_logic *logic, uint32_t slot);

#endif
