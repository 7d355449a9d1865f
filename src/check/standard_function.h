/* standard_function.h - the standard functions of the language.
 *
 * Those with a meaning of their own (CODE_STANDARD), and names that stand
 * for an operator or for their argument.
 */
#ifndef KEEPCLEAR_CHECK_STANDARD_FUNCTION_H
#define KEEPCLEAR_CHECK_STANDARD_FUNCTION_H

#include <stdbool.h>
#include <stdint.h>

#include "lang/tree.h"

/* What CODE_STANDARD computes; arguments in the order of the standard. */
enum code_function {
    FUNCTION_SEL,   /* G, IN0, IN1: IN1 where G holds, else IN0 */
    FUNCTION_MUX,   /* K, IN0, IN1, ..: INK */
    FUNCTION_LIMIT, /* MN, IN, MX: the lesser of MX and the greater of IN
                       and MN */
    FUNCTION_MIN, FUNCTION_MAX, /* IN1, IN2, .. */
    FUNCTION_ABS,   /* IN */
    FUNCTION_SHL, FUNCTION_SHR, /* IN, N: what leaves the width is lost */
    FUNCTION_ROL, FUNCTION_ROR, /* IN, N: what leaves comes in again */
    /* IN1, IN2, ..: holds between each and the next */
    FUNCTION_GT, FUNCTION_GE, FUNCTION_EQ, FUNCTION_LE, FUNCTION_LT,
    FUNCTION_MOVE,    /* from here on never in CODE_STANDARD */
    FUNCTION_OPERATOR /* `op` between all arguments, from the left */
};

enum { FUNCTION_MOST_ARGS = 40 };

struct standard_function {
    const char *name;
    enum code_function function;
    enum tree_op op;             /* FUNCTION_OPERATOR, FUNCTION_GT .. LT */
    const char *parameters;      /* "G IN0 IN1"; the last name ends in a
                                    number that goes on where most allows */
    uint32_t least, most;        /* arguments */
};

/* The function of that name in small letters, or NULL. */
const struct standard_function *standard_function(const char *folded);

/* The n-th parameter (from 0) of the call as "IN3"; to holds 16 bytes. */
void standard_function_parameter(const struct standard_function *function,
                                 uint32_t n, char *to);

#endif
