/* loose.h - values of control text that are converted without a word.
 *
 * An enumeration stands for the numbers of its items, a bit string for a
 * number without a sign, an integer for its bits, 0 and 1 for FALSE and TRUE,
 * where nothing else can be meant; integers of different signs meet in one
 * that holds both.  Every value keeps its number, so that what would not fit
 * is a run-time error.  Each is told (told.h); review texts convert nothing.
 * Operands are fresh nodes and are changed in place.
 */
#ifndef KEEPCLEAR_CHECK_LOOSE_H
#define KEEPCLEAR_CHECK_LOOSE_H

#include "check/env.h"
#include "check/told.h"

/* Lets two operands meet, if that is what they lack. */
void loose_operands(struct env *env, enum tree_op op, struct code_expr *left,
                    struct code_expr *right);

/* The same for `count` values of one type, such as those of MAX. */
void loose_values(struct env *env, struct code_expr *const *values,
                  uint32_t count);

/* Before a value is stored in a variable of this type. */
void loose_store(struct env *env, struct code_expr *value,
                 const struct type *target);

/* An enumeration or a bit string where a whole number is wanted. */
void loose_number(struct env *env, struct code_expr *value);

/* An integer where its bits are wanted: its type, to be given back by
 * loose_back; else NULL.  A number without a type is one of `wanted`, or a
 * DWORD. */
const struct type *loose_bits(struct env *env, struct code_expr *value,
                              const struct type *wanted);

/* The value as one of the type that loose_bits gave; NULL: as it is. */
struct code_expr *loose_back(struct env *env, const struct type *type,
                             struct code_expr *value);

/* left op right for AND, OR and XOR of which one side at least is an integer
 * that stands for its bits; false: they are something else. */
bool loose_bitwise(struct env *env, enum tree_op op, struct code_expr *left,
                   struct code_expr *right, struct code_expr **out);

/* NOT of the same; false: it is something else. */
bool loose_not(struct env *env, struct code_expr *value, struct span span,
               struct code_expr **out);

/* A condition: 0 and 1. */
void loose_truth(struct env *env, struct code_expr *value);

/* A conversion that nobody wrote. */
struct code_expr *loose_made(struct env *env, const struct type *type,
                             struct code_expr *value);

/* The bit string of the same width. */
const struct type *loose_bits_of(const struct draft *draft,
                                 const struct type *integer);

#endif
