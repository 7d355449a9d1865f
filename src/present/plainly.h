/* plainly.h - conditions of a review text as words for somebody who did not
 * write it.
 *
 * "left closing button is held and tailgate lowers is on".  Nothing is left
 * away and nothing is turned round: what has no words of its own stands as it
 * is written, in `marks`.
 */
#ifndef KEEPCLEAR_PRESENT_PLAINLY_H
#define KEEPCLEAR_PRESENT_PLAINLY_H

#include <stdbool.h>
#include <stdint.h>

struct code_expr;
struct model;
struct sources;
struct text;

/* Borrowed. */
struct plainly {
    struct text *out;
    const struct model *model;
    const struct sources *sources;
};

/* The condition as a clause; holds false: that it does not hold. */
void plainly_condition(const struct plainly *plainly,
                       const struct code_expr *condition, bool holds);

/* What a value is called: the title of what people see, the path of a
 * variable, else the text. */
void plainly_name(const struct plainly *plainly,
                  const struct code_expr *value);

/* Title of an actuator, else the name of a variable. */
void plainly_slot(const struct plainly *plainly, uint32_t slot);

#endif
