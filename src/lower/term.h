/* term.h - short names for making expressions. */
#ifndef KEEPCLEAR_LOWER_TERM_H
#define KEEPCLEAR_LOWER_TERM_H

#include <stdbool.h>

#include "logic/build.h"

flat_expr term_false(struct flat_builder *b);
flat_expr term_true(struct flat_builder *b);
bool term_is(const struct flat_builder *b, flat_expr x, int64_t value);

flat_expr term_and(struct flat_builder *b, flat_expr x, flat_expr y);
flat_expr term_or(struct flat_builder *b, flat_expr x, flat_expr y);

/* x AND NOT y. */
flat_expr term_less(struct flat_builder *b, flat_expr x, flat_expr y);

flat_expr term_equals(struct flat_builder *b, flat_expr x, int64_t value);

/* x, but at least low (at most high). */
flat_expr term_at_least(struct flat_builder *b, flat_expr x, int64_t low);
flat_expr term_at_most(struct flat_builder *b, flat_expr x, int64_t high);
flat_expr term_smaller(struct flat_builder *b, flat_expr x, flat_expr y);

/* A clock that grows by elapsed and stays at its cap.  Where elapsed is a
 * constant the cap is a multiple of it. */
flat_expr term_grown(struct flat_builder *b, flat_expr age, flat_expr elapsed,
                     int64_t cap);

/* age >= limit. */
flat_expr term_reached(struct flat_builder *b, flat_expr age, int64_t limit);

#endif
