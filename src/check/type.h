/* type.h - types of values.
 *
 * Every value of the language is one int64: BOOL 0 and 1, integers
 * themselves, TIME in milliseconds, an enumeration its item's index from 0.
 */
#ifndef KEEPCLEAR_CHECK_TYPE_H
#define KEEPCLEAR_CHECK_TYPE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/name.h"

/* The value of a REAL is its place among the numbers that are written in the
 * texts of the run: c1 < ... < cm are they, each rounded to 32 and to 64
 * bits, and their negatives.  2k - 1 is ck itself, 2k any number between ck
 * and its successor (0: below c1, 2m: above cm), TYPE_NAN not-a-number.
 *
 * Of texts and dates (TYPE_OPAQUE) nothing is known: their one value is 0. */
enum type_kind {
    TYPE_BOOL, TYPE_INTEGER, TYPE_TIME, TYPE_ENUM, TYPE_REAL, TYPE_OPAQUE
};

enum { TYPE_NAN = -1 };

struct type {
    enum type_kind kind;
    const struct name *name; /* NULL for one written in place */
    int64_t low, high;       /* smallest and largest value */
    int64_t initial;         /* default initial value */
    const struct type *base; /* of a subrange: SINT .. ULINT, TIME, enum;
                                else NULL */
    uint32_t count;          /* TYPE_ENUM: items; TYPE_REAL: numbers */
    const struct name *const *items;
    const double *numbers;   /* TYPE_REAL: ascending */
    bool narrow;             /* TYPE_REAL: of 32 bits */
};

/* TIME spans -2^53 .. 2^53 ms; ULINT is cut at the largest int64. */

/* The type under any subrange. */
const struct type *type_base(const struct type *type);

/* May a value of one type meet one of the other in =, :=, IF …: same base. */
bool type_fits(const struct type *a, const struct type *b);

/* Is this a type of which not everything is followed? */
bool type_abstracted(const struct type *type);

/* The type as a user writes it; valid as long as the type. */
const char *type_words(const struct type *type);

#endif
