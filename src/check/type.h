/* type.h - types of values.
 *
 * Every value of the language is one int64: BOOL 0 and 1, integers
 * themselves, bit strings as the number that their bits make, TIME in
 * milliseconds, an enumeration its item's index from 0.
 */
#ifndef KEEPCLEAR_CHECK_TYPE_H
#define KEEPCLEAR_CHECK_TYPE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/name.h"

enum type_kind { TYPE_BOOL, TYPE_INTEGER, TYPE_BITS, TYPE_TIME, TYPE_ENUM };

struct type {
    enum type_kind kind;
    const struct name *name; /* NULL for one written in place */
    int64_t low, high;       /* smallest and largest value */
    int64_t initial;         /* default initial value */
    const struct type *base; /* of a subrange: SINT .. ULINT, TIME, enum;
                                else NULL */
    uint32_t count;          /* TYPE_ENUM: items */
    const struct name *const *items;
};

/* TIME spans -2^53 .. 2^53 ms; ULINT and LWORD are cut at the largest
 * int64. */

/* The type under any subrange. */
const struct type *type_base(const struct type *type);

/* May a value of one type meet one of the other in =, :=, IF …: same base. */
bool type_fits(const struct type *a, const struct type *b);

/* TYPE_INTEGER, TYPE_BITS: bits of the type under any subrange, 8 to 64. */
unsigned type_width(const struct type *type);

/* The type as a user writes it; valid as long as the type. */
const char *type_words(const struct type *type);

#endif
