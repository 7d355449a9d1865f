/* word_expr.h - random expressions over bit strings, integers and times, as
 * Structured Text and, written apart from it, as C. */
#ifndef KEEPCLEAR_TESTS_SUPPORT_WORD_EXPR_H
#define KEEPCLEAR_TESTS_SUPPORT_WORD_EXPR_H

#include <stddef.h>
#include <stdint.h>

#include "base/text.h"

enum word_type {
    WORD_BOOL, WORD_BYTE, WORD_WORD, WORD_DWORD, WORD_LWORD, WORD_SINT,
    WORD_INT, WORD_DINT, WORD_LINT, WORD_USINT, WORD_UINT, WORD_UDINT,
    WORD_TIME, WORD_TYPES
};

struct word_expr {
    uint64_t seed;
    enum word_type type;
    struct text st, c;
};

/* Fills type, st and c from the seed; released with word_expr_release. */
void word_expr_make(struct word_expr *expr);
void word_expr_release(struct word_expr *expr);

/* The type as it is written in Structured Text. */
const char *word_type_name(enum word_type type);

/* The variables that expressions name: how many, what they are called and of
 * which type, and a random value as the seed goes on. */
size_t word_variables(void);
const char *word_variable(size_t i, enum word_type *type);
int64_t word_value(uint64_t *seed, size_t i);

/* A value as a typed literal. */
void word_literal(struct text *out, enum word_type type, int64_t value);

/* What the C of expressions calls: variables, `err`, functions. */
void word_prelude(struct text *out);

#endif
