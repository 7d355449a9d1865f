/* type.h - types of values.
 *
 * Every elementary value of the language is one int64: BOOL 0 and 1, integers
 * themselves, bit strings as the number that their bits make (LWORD: its bits
 * as those of an int64, below 0 where bit 63 is set), TIME in milliseconds, an
 * enumeration its item's index from 0.
 * An array, a structure and an instance of a block are as many of them in a
 * row as their elements, fields and variables have.
 */
#ifndef KEEPCLEAR_CHECK_TYPE_H
#define KEEPCLEAR_CHECK_TYPE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/name.h"
#include "source/source.h"

struct unit;

/* The value of a REAL is its place among the numbers that are written in the
 * texts of the run: c1 < ... < cm are they, each rounded to 32 and to 64
 * bits, and their negatives.  2k - 1 is ck itself, 2k any number between ck
 * and its successor (0: below c1, 2m: above cm), TYPE_NAN not-a-number.
 *
 * Of texts and dates (TYPE_OPAQUE) nothing is known: their one value is 0. */
enum type_kind {
    TYPE_BOOL, TYPE_INTEGER, TYPE_BITS, TYPE_TIME, TYPE_ENUM, TYPE_REAL,
    TYPE_OPAQUE,
    TYPE_ARRAY,
    TYPE_STRUCT,
    TYPE_BLOCK /* an instance of a function block: of an element or field */
};

enum { TYPE_NAN = -1 };

/* One dimension: low .. high, and the values from one index to the next. */
struct type_dim {
    int64_t low, high;
    uint32_t stride;
    struct span open; /* of [*], whose bounds a caller gives; else no place */
};

struct type_field {
    const struct name *name;
    const char *spelling;    /* as declared */
    const struct type *type;
    uint32_t offset;         /* in values */
};

struct type {
    enum type_kind kind;
    const struct name *name; /* NULL for one written in place */
    int64_t low, high;       /* smallest and largest value */
    int64_t initial;         /* default initial value */
    bool valued;             /* its declaration gives that value */
    const struct type *base; /* of a subrange: SINT .. ULINT, TIME, enum;
                                else NULL */
    uint32_t count;          /* TYPE_ENUM: items; TYPE_REAL: numbers */
    const struct name *const *items;
    const int64_t *item_values; /* TYPE_ENUM: the number of each item; NULL:
                                   0, 1, ... */
    uint32_t size;              /* values of one value of the type */
    const int64_t *initials;    /* of all of them, where size may not be 1:
                                   ARRAY, STRUCT, BLOCK; else NULL */
    const struct type *element; /* TYPE_ARRAY */
    const struct type_dim *dims;
    uint32_t n_dims;
    const struct type_field *fields; /* TYPE_STRUCT */
    uint32_t n_fields;
    struct unit *unit; /* TYPE_BLOCK */
    bool remembers;    /* an instance lies in it: it is not copied */
    const double *numbers;   /* TYPE_REAL: ascending */
    bool narrow;             /* TYPE_REAL: of 32 bits */
};

/* TIME spans -2^53 .. 2^53 ms; ULINT is cut at the largest int64. */

/* The type under any subrange. */
const struct type *type_base(const struct type *type);

/* Is one value of it one int64? */
bool type_elementary(const struct type *type);

/* May a value of one type meet one of the other in =, :=, IF …: same base.
 * Arrays of the same bounds and the very same elements fit, and enumerations
 * written in place with the very same items. */
bool type_fits(const struct type *a, const struct type *b);

/* Do they hold the very same values? */
bool type_same(const struct type *a, const struct type *b);

/* TYPE_ENUM: the smallest and the largest number of an item. */
void type_numbers(const struct type *type, int64_t *low, int64_t *high);

/* The default value of part number k of it. */
int64_t type_initial(const struct type *type, uint32_t k);

/* The field of that name or NULL. */
const struct type_field *type_field(const struct type *type,
                                    const struct name *name);
/* TYPE_INTEGER, TYPE_BITS: bits of the type under any subrange, 8 to 64. */
unsigned type_width(const struct type *type);
/* LWORD: is the order of its values that of uint64, not of int64? */
bool type_unsigned(const struct type *type);
/* TYPE_ENUM: the number of an item. */
int64_t type_item_number(const struct type *type, int64_t item);
/* TYPE_ENUM: do the numbers grow from item to item? */
bool type_in_order(const struct type *type);
/* Is this a type of which not everything is followed? */
bool type_abstracted(const struct type *type);

/* The type as a user writes it; valid as long as the type. */
const char *type_words(const struct type *type);

#endif
