/* real.h - the types whose values are not followed in full: REAL and LREAL,
 * texts, dates (type.h says what their values stand for).
 */
#ifndef KEEPCLEAR_CHECK_REAL_H
#define KEEPCLEAR_CHECK_REAL_H

#include <stdbool.h>
#include <stdint.h>

#include "check/type.h"
#include "lang/tree.h"
#include "source/source.h"

struct arena;
struct draft;

/* Enters the types; the numbers are those of the run. */
void real_declare(struct draft *draft);

/* The value that stands for a number: odd where it is one of the texts'. */
int64_t real_value(const struct type *type, double number);

/* The number of an odd value. */
double real_number(const struct type *type, int64_t value);

/* The value of a written number in this type: rounded to 32 bits first if
 * the type is of 32.  False when it is too large for that, or is not among
 * the numbers of the texts. */
bool real_exact(const struct type *type, double number, int64_t *value);

/* Reports a number that does not fit the type; false. */
bool real_too_large(struct draft *draft, const struct type *type,
                    struct span span);

/* Type and value of 1.5, REAL#1.5, 'text', D#2020-01-01; false when a mistake
 * was reported. */
bool real_constant(struct draft *draft, const struct tree_expr *tree,
                   const struct type **type, int64_t *value);

/* What comes of computing with two numbers that are known. */
enum real_computed {
    REAL_COMPUTED, /* *value */
    REAL_UNSURE,   /* hangs on where the controller rounds */
    REAL_NO_NUMBER,
    REAL_LATER,    /* its number is one of the texts' in the next round of the
                      check */
    REAL_TOO_MANY  /* there will be no further round */
};

/* left op right (TREE_ADD .. TREE_DIV) in this type; of two written numbers
 * real_literal, which may still become a REAL. */
enum real_computed real_compute(struct draft *draft, enum tree_op op,
                                const struct type *type,
                                const double sides[2], int64_t *value);

/* Is there a number of this type at all between low and high (values, low <=
 * high)? */
bool real_exists(const struct type *type, int64_t low, int64_t high);

/* "at least 0.0 and less than 11500.0": the numbers from low to high; in the
 * arena. */
const char *real_words(struct arena *arena, const struct type *type,
                       int64_t low, int64_t high);

/* One of these numbers, as it is written; NULL for not-a-number.  low to high
 * holds one (real_exists). */
const char *real_example(struct arena *arena, const struct type *type,
                         int64_t low, int64_t high);

#endif
