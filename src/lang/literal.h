/* literal.h - values as they are written: numbers, times, texts, places.
 *
 * Each function takes the bytes of one token, at reading->text in span.  A
 * malformed one is reported and gives a harmless value, so that the parser
 * goes on: results are never NULL and live in the arena.
 */
#ifndef KEEPCLEAR_LANG_LITERAL_H
#define KEEPCLEAR_LANG_LITERAL_H

#include <stdbool.h>

#include "lang/review.h"

struct reading;

/* 12, 1_000, 16#FF, 8#17, 2#1010. */
struct tree_expr *literal_integer(struct reading *reading, struct span span);

/* %X3, the number of a bit. */
struct tree_expr *literal_bit(struct reading *reading, struct span span);

/* T#1h2m3s4ms, TIME#1.5s, T#-5s, in milliseconds. */
struct tree_expr *literal_time(struct reading *reading, struct span span);

/* INT#5, INT#-16#FF, BOOL#1: TREE_INTEGER or TREE_BOOL; Type#Item:
 * TREE_ITEM. */
struct tree_expr *literal_typed(struct reading *reading, struct span span);

/* '...' with its $-escapes resolved; closed is false when the closing quote
 * is missing. */
struct tree_string literal_string(struct reading *reading, struct span span,
                                  bool closed);

/* %IX0.3, %QW4, %MD10, %I*. */
struct tree_string literal_location(struct reading *reading,
                                    struct span span);

#endif
