/* real.h - values that are read, but whose arithmetic is not followed: REAL,
 * texts and dates.
 *
 * Every number that could be one of a REAL is noted in tree_run.reals: the
 * values of the type are told apart by these alone (check/real.h).
 */
#ifndef KEEPCLEAR_LANG_REAL_H
#define KEEPCLEAR_LANG_REAL_H

#include <stddef.h>

#include "source/source.h"

struct reading;
struct tree_expr;

/* 1.5, 1.0E-3, REAL#-1.5: TREE_REAL, the nearest number of 64 bits.  A
 * malformed one is reported. */
struct tree_expr *real_literal(struct reading *reading, struct span span);

/* How much of a number that begins with a point is the point of a path
 * (w.3): 1, or 0 where it is a number (.5). */
size_t real_begins(const struct reading *reading, struct span span);

/* D#2020-01-01 and the like: TREE_OPAQUE with its type. */
struct tree_expr *real_date(struct reading *reading, struct span span);

/* A text in quotes, as a value: TREE_OPAQUE without a type. */
struct tree_expr *real_text(struct reading *reading, struct span span);

/* REAL#5 becomes TREE_REAL; all else stays as it is. */
void real_of_whole(struct reading *reading, struct tree_expr *expr);

/* Notes a number. */
void real_note(struct reading *reading, double value);

#endif
