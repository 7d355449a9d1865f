/* Extents hold every value that the operators of C give for operands between
 * the same ends, as long as the result fits its type. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "check/extent.h"

static const struct type usint = {.kind = TYPE_INTEGER, .high = 255};
static const struct type sint = {.kind = TYPE_INTEGER, .low = -128,
                                 .high = 127};
static const struct type byte = {.kind = TYPE_BITS, .high = 255};

static struct code_expr variable(const struct type *type)
{
    return (struct code_expr){.op = CODE_VARIABLE, .type = type,
                              .site = CODE_NO_SITE, .place = CODE_NO_SITE};
}

/* One between ends taken at random from the type. */
static struct type part_of(const struct type *type)
{
    int64_t a = type->low + rand() % (type->high - type->low + 1);
    int64_t b = type->low + rand() % (type->high - type->low + 1);
    struct type part = *type;

    if (rand() % 2) /* near 0, where most can go wrong */
        a = a / 40 >= type->low ? a / 40 : a, b = b / 40;
    part.base = type;
    part.low = a < b ? a : b;
    part.high = a < b ? b : a;
    return part;
}

/* a op b in C; false where there is no result. */
static bool computed(const struct code_expr *expr, int64_t a, int64_t b,
                     int64_t *out)
{
    switch (expr->op) {
    case CODE_NEGATE: *out = -a; return true;
    case CODE_ADD: *out = a + b; return true;
    case CODE_SUB: *out = a - b; return true;
    case CODE_MUL: *out = a * b; return true;
    case CODE_DIV: *out = b ? a / b : 0; return b != 0;
    case CODE_MOD: *out = b ? a % b : 0; return b != 0;
    case CODE_BIT_AND: *out = a & b; return true;
    case CODE_BIT_OR: *out = a | b; return true;
    case CODE_BIT_XOR: *out = a ^ b; return true;
    case CODE_BIT_NOT: *out = ~a & 255; return true;
    default: break;
    }
    switch (expr->function) {
    case FUNCTION_ABS: *out = llabs(a); return true;
    case FUNCTION_MIN: *out = a < b ? a : b; return true;
    case FUNCTION_MAX: *out = a > b ? a : b; return true;
    case FUNCTION_SHL:
        *out = b >= 0 && b < 8 ? a << b & 255 : 0;
        return b >= 0;
    default:
        assert_int_equal(expr->function, FUNCTION_SHR);
        *out = b >= 0 && b < 8 ? a >> b : 0;
        return b >= 0;
    }
}

static void look(const struct code_expr *expr, const struct type *a,
                 const struct type *b)
{
    int64_t low, high, value, least = INT64_MAX, most = INT64_MIN;

    extent_find(expr, &low, &high);
    assert_true(low >= expr->type->low && high <= expr->type->high);
    for (int64_t x = a->low; x <= a->high; x++)
        for (int64_t y = b->low; y <= b->high; y++) {
            if (!computed(expr, x, y, &value) || value < expr->type->low ||
                value > expr->type->high)
                continue;
            assert_in_range(value - low, 0, high - low);
            least = value < least ? value : least;
            most = value > most ? value : most;
        }
    /* of sums nothing is given away */
    if (expr->op == CODE_ADD && least <= most) {
        assert_int_equal(low, least);
        assert_int_equal(high, most);
    }
}

static void operators(void **state)
{
    static const enum code_op ops[] = {
        CODE_NEGATE, CODE_ADD, CODE_SUB, CODE_MUL, CODE_DIV, CODE_MOD,
        CODE_BIT_AND, CODE_BIT_OR, CODE_BIT_XOR, CODE_BIT_NOT};
    const struct type *types[] = {&usint, &sint};

    (void)state;
    srand(1);
    for (unsigned i = 0; i < sizeof ops / sizeof *ops; i++)
        for (int k = 0; k < 40; k++) {
            const struct type *type =
                ops[i] >= CODE_BIT_AND ? &byte : types[k % 2];
            struct type a = part_of(type), b = part_of(type);
            struct code_expr left = variable(&a), right = variable(&b);
            struct code_expr expr = variable(type);

            expr.op = ops[i];
            expr.left = &left;
            expr.right = ops[i] == CODE_NEGATE || ops[i] == CODE_BIT_NOT
                             ? NULL : &right;
            look(&expr, &a, &b);
        }
}

static void functions(void **state)
{
    static const enum code_function all[] = {
        FUNCTION_ABS, FUNCTION_MIN, FUNCTION_MAX, FUNCTION_SHL,
        FUNCTION_SHR};
    static const struct type places = {.kind = TYPE_INTEGER, .low = -2,
                                       .high = 12};

    (void)state;
    srand(2);
    for (unsigned i = 0; i < sizeof all / sizeof *all; i++)
        for (int k = 0; k < 60; k++) {
            bool shifts = all[i] >= FUNCTION_SHL;
            struct type a = part_of(shifts ? &byte : &sint);
            struct type b = part_of(shifts ? &places : &sint);
            struct code_expr left = variable(&a), right = variable(&b);
            struct code_arg args[2] = {{.value = &left}, {.value = &right}};
            struct code_expr expr = variable(shifts ? &byte : &sint);

            expr.op = CODE_STANDARD;
            expr.function = all[i];
            expr.args = args;
            expr.n_args = all[i] == FUNCTION_ABS ? 1 : 2;
            look(&expr, &a, &b);
        }
}

/* Where a setting makes another number of what does not fit, any may come. */
static void what_turns(void **state)
{
    struct code_expr left = variable(&usint), right = variable(&usint);
    struct code_expr expr = variable(&usint);
    int64_t low, high;

    (void)state;
    left.op = right.op = CODE_CONST;
    left.value = 200;
    right.value = 100;
    expr.op = CODE_ADD;
    expr.left = &left;
    expr.right = &right;
    expr.turns = true;
    extent_find(&expr, &low, &high);
    assert_int_equal(low, 0);
    assert_int_equal(high, 255);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(operators),
                                       cmocka_unit_test(functions),
                                       cmocka_unit_test(what_turns)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
