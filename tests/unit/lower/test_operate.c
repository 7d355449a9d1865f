/* Operators and their errors on every pair of telling operands, compared
 * with the same computed in 128 bits. */
#include "lower/operate.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/arena.h"

__extension__ typedef __int128 wide;

static const struct type types[] = {
    {.kind = TYPE_INTEGER, .low = INT64_MIN, .high = INT64_MAX},
    {.kind = TYPE_INTEGER, .low = 0, .high = INT64_MAX},
    {.kind = TYPE_TIME, .low = -(INT64_C(1) << 53), .high = INT64_C(1) << 53},
    {.kind = TYPE_INTEGER, .low = -128, .high = 127},
    {.kind = TYPE_INTEGER, .low = 0, .high = 255},
};

static const int64_t numbers[] = {
    0, 1, 2, 3, 7, 11, 12, 127, 128, 255, INT64_C(1) << 31,
    INT64_C(1) << 53, INT64_C(3037000499), INT64_C(3037000500),
    INT64_MAX / 3, INT64_MAX / 2, INT64_MAX - 1, INT64_MAX,
    -1, -2, -3, -7, -128, -129, -(INT64_C(1) << 53),
    -INT64_C(3037000500), INT64_MIN / 2, INT64_MIN + 1, INT64_MIN};

enum { N = sizeof numbers / sizeof *numbers };

static bool inside(const struct type *type, wide value)
{
    return value >= type->low && value <= type->high;
}

static bool is_error(enum code_op op, const struct type *type, wide x,
                     wide y)
{
    switch (op) {
    case CODE_ADD: return !inside(type, x + y);
    case CODE_SUB: return !inside(type, x - y);
    case CODE_MUL: return !inside(type, x * y);
    case CODE_NEGATE: return !inside(type, -x);
    case CODE_DIV: return y == 0 || !inside(type, x / y);
    default: return y == 0;
    }
}

static wide plain(enum code_op op, wide x, wide y)
{
    switch (op) {
    case CODE_ADD: return x + y;
    case CODE_SUB: return x - y;
    case CODE_MUL: return x * y;
    case CODE_NEGATE: return -x;
    case CODE_DIV: return x / y;
    default: return x % y;
    }
}

/* Nodes from two leaves up to `expr`, with values for the leaves. */
static int64_t computed(struct flat_builder *b, flat_expr expr, int64_t x,
                        int64_t y)
{
    int64_t *value = calloc(expr + 1, sizeof *value);
    assert_non_null(value);
    for (flat_expr i = 0; i <= expr; i++) {
        const struct flat_node *n = flat_node(b, i);
        if (n->op == FLAT_CONST)
            value[i] = n->value;
        else if (n->op == FLAT_CHOICE)
            value[i] = n->a == 0 ? x : y;
        else
            value[i] = flat_apply(n->op, value[n->a],
                                  n->b == FLAT_NONE ? 0 : value[n->b],
                                  n->c == FLAT_NONE ? 0 : value[n->c]);
    }
    int64_t result = value[expr];
    free(value);
    return result;
}

static void check_pair(struct flat_builder *b, const struct code_expr *expr,
                       const flat_expr made[2], int64_t x, int64_t y)
{
    bool error = is_error(expr->op, expr->type, x, y);
    if (computed(b, made[0], x, y) != error)
        fail_msg("operator %d on %lld and %lld: error %d wanted", expr->op,
                 (long long)x, (long long)y, error);
    if (!error)
        assert_true(computed(b, made[1], x, y) == plain(expr->op, x, y));
}

/* Leaves that range over the type, or over what is given only. */
static void check_operator(enum code_op op, const struct type *type)
{
    struct arena *arena = arena_new();
    struct flat_builder *b = flat_builder_new(arena);
    struct code_expr expr = {.op = op, .type = type};
    flat_expr x = flat_leaf(b, FLAT_CHOICE, 0, type->low, type->high);
    flat_expr y = flat_leaf(b, FLAT_CHOICE, 1, type->low, type->high);
    flat_expr made[2] = {operate_error(b, &expr, x, y),
                         operate_value(b, op, x, y)};
    for (size_t i = 0; i < N; i++)
        for (size_t k = 0; k < N; k++)
            if (inside(type, numbers[i]) && inside(type, numbers[k]))
                check_pair(b, &expr, made, numbers[i], numbers[k]);
    flat_builder_free(b);
    arena_free(arena);
}

static void in_every_type(void **state)
{
    static const enum code_op ops[] = {CODE_ADD, CODE_SUB, CODE_MUL,
                                       CODE_DIV, CODE_MOD, CODE_NEGATE};
    (void)state;
    for (size_t t = 0; t < sizeof types / sizeof *types; t++)
        for (size_t i = 0; i < sizeof ops / sizeof *ops; i++)
            check_operator(ops[i], &types[t]);
}

static void known_to_fit(void **state)
{
    struct arena *arena = arena_new();
    struct flat_builder *b = flat_builder_new(arena);
    struct code_expr sum = {.op = CODE_ADD, .type = &types[3]};
    (void)state;
    flat_expr x = flat_leaf(b, FLAT_CHOICE, 0, 0, 27);
    flat_expr y = flat_const(b, 100);
    assert_int_equal(operate_error(b, &sum, x, y), flat_const(b, 0));
    flat_builder_free(b);
    arena_free(arena);
}

static void comparisons(void **state)
{
    struct arena *arena = arena_new();
    struct flat_builder *b = flat_builder_new(arena);
    flat_expr x = flat_leaf(b, FLAT_CHOICE, 0, -3, 3);
    flat_expr y = flat_leaf(b, FLAT_CHOICE, 1, -3, 3);
    (void)state;
    for (int64_t i = -3; i <= 3; i++)
        for (int64_t k = -3; k <= 3; k++) {
            const bool want[] = {i == k, i != k, i < k,
                                 i <= k, i > k,  i >= k};
            for (int op = CODE_EQ; op <= CODE_GE; op++) {
                flat_expr made = operate_value(b, (enum code_op)op, x, y);
                assert_int_equal(computed(b, made, i, k), want[op - CODE_EQ]);
            }
        }
    flat_builder_free(b);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_every_type),
        cmocka_unit_test(known_to_fit),
        cmocka_unit_test(comparisons),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
