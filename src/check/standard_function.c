#include "check/standard_function.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { MANY = FUNCTION_MOST_ARGS };

/* The names of IEC 61131-3, third edition, tables 28 to 33 and what they
 * call their parameters. */
static const struct standard_function functions[] = {
    {"SEL", FUNCTION_SEL, 0, "G IN0 IN1", 3, 3},
    {"MUX", FUNCTION_MUX, 0, "K IN0", 2, MANY},
    {"LIMIT", FUNCTION_LIMIT, 0, "MN IN MX", 3, 3},
    {"MIN", FUNCTION_MIN, 0, "IN1", 2, MANY},
    {"MAX", FUNCTION_MAX, 0, "IN1", 2, MANY},
    {"ABS", FUNCTION_ABS, 0, "IN", 1, 1},
    {"MOVE", FUNCTION_MOVE, 0, "IN", 1, 1},
    {"SHL", FUNCTION_SHL, 0, "IN N", 2, 2},
    {"SHR", FUNCTION_SHR, 0, "IN N", 2, 2},
    {"ROL", FUNCTION_ROL, 0, "IN N", 2, 2},
    {"ROR", FUNCTION_ROR, 0, "IN N", 2, 2},
    {"GT", FUNCTION_GT, TREE_GT, "IN1", 2, MANY},
    {"GE", FUNCTION_GE, TREE_GE, "IN1", 2, MANY},
    {"EQ", FUNCTION_EQ, TREE_EQ, "IN1", 2, MANY},
    {"LE", FUNCTION_LE, TREE_LE, "IN1", 2, MANY},
    {"LT", FUNCTION_LT, TREE_LT, "IN1", 2, MANY},
    {"NE", FUNCTION_OPERATOR, TREE_NE, "IN1", 2, 2},
    {"ADD", FUNCTION_OPERATOR, TREE_ADD, "IN1", 2, MANY},
    {"MUL", FUNCTION_OPERATOR, TREE_MUL, "IN1", 2, MANY},
    {"SUB", FUNCTION_OPERATOR, TREE_SUB, "IN1", 2, 2},
    {"DIV", FUNCTION_OPERATOR, TREE_DIV, "IN1", 2, 2},
    {"MULTIME", FUNCTION_OPERATOR, TREE_MUL, "IN1", 2, 2},
    {"MUL_TIME", FUNCTION_OPERATOR, TREE_MUL, "IN1", 2, 2},
    {"DIVTIME", FUNCTION_OPERATOR, TREE_DIV, "IN1", 2, 2},
    {"DIV_TIME", FUNCTION_OPERATOR, TREE_DIV, "IN1", 2, 2},
    {"ADD_TIME", FUNCTION_OPERATOR, TREE_ADD, "IN1", 2, 2},
    {"SUB_TIME", FUNCTION_OPERATOR, TREE_SUB, "IN1", 2, 2},
    {"MOD", FUNCTION_OPERATOR, TREE_MOD, "IN1", 2, 2},
    {"AND", FUNCTION_OPERATOR, TREE_AND, "IN1", 2, MANY},
    {"OR", FUNCTION_OPERATOR, TREE_OR, "IN1", 2, MANY},
    {"XOR", FUNCTION_OPERATOR, TREE_XOR, "IN1", 2, MANY},
    {"NOT", FUNCTION_OPERATOR, TREE_NOT, "IN", 1, 1},
};

const struct standard_function *standard_function(const char *folded)
{
    for (size_t i = 0; i < sizeof functions / sizeof *functions; i++)
        if (strcasecmp(functions[i].name, folded) == 0)
            return &functions[i];
    return NULL;
}

void standard_function_parameter(const struct standard_function *function,
                                 uint32_t n, char *to)
{
    const char *at = function->parameters, *end;
    uint32_t i = 0;

    for (;;) {
        end = strchr(at, ' ');
        if (i == n || !end)
            break;
        at = end + 1;
        i++;
    }
    if (i == n)
        snprintf(to, 16, "%.*s", (int)(end ? end - at : 8), at);
    else /* IN0 or IN1, and those that follow */
        snprintf(to, 16, "IN%u", (unsigned)(atoi(at + 2) + (int)(n - i)));
}
