#include "check/arith.h"

#include "check/shape.h"
#include "check/typing.h"

typedef __int128 wide;

struct range {
    wide low, high;
};

struct code_expr *arith_new(struct draft *draft, enum code_op op,
                            const struct type *type, struct span span)
{
    struct code_expr *expr = ARENA_NEW(draft->arena, struct code_expr);

    expr->op = op;
    expr->type = type;
    expr->span = span;
    expr->site = CODE_NO_SITE;
    return expr;
}

struct code_expr *arith_constant(struct draft *draft,
                                 const struct type *type, int64_t value,
                                 struct span span)
{
    struct code_expr *expr = arith_new(draft, CODE_CONST, type, span);

    expr->value = value;
    return expr;
}

/* ---- ranges ---- */

static struct range of_type(const struct type *type)
{
    return (struct range){type->low, type->high};
}

static wide least(wide a, wide b)
{
    return a < b ? a : b;
}

static wide most(wide a, wide b)
{
    return a > b ? a : b;
}

static struct range product(struct range a, struct range b)
{
    wide p = a.low * b.low, q = a.low * b.high;
    wide r = a.high * b.low, s = a.high * b.high;

    return (struct range){least(least(p, q), least(r, s)),
                          most(most(p, q), most(r, s))};
}

static struct range combine(enum code_op op, struct range a, struct range b)
{
    switch (op) {
    case CODE_ADD: return (struct range){a.low + b.low, a.high + b.high};
    case CODE_SUB: return (struct range){a.low - b.high, a.high - b.low};
    case CODE_NEGATE: return (struct range){-a.high, -a.low};
    default: return product(a, b);
    }
}

/* left MOD a constant: nearer to 0 than the constant, the sign of left. */
static struct range remainder_of(const struct code_expr *expr,
                                 struct range left)
{
    wide most_far = expr->right->value < 0 ? -(wide)expr->right->value
                                           : (wide)expr->right->value;

    return (struct range){left.low < 0 ? 1 - most_far : 0,
                          left.high > 0 ? most_far - 1 : 0};
}

/* Where an expression's value lies as long as no error has occurred. */
static struct range range_of(const struct code_expr *expr)
{
    struct range range = of_type(expr->type), inner;

    switch (expr->op) {
    case CODE_CONST: return (struct range){expr->value, expr->value};
    case CODE_ADD:
    case CODE_SUB:
    case CODE_MUL:
    case CODE_NEGATE:
        inner = combine(expr->op, range_of(expr->left),
                        expr->op == CODE_NEGATE ? range
                                                : range_of(expr->right));
        return (struct range){most(range.low, inner.low),
                              least(range.high, inner.high)};
    case CODE_MOD:
        return expr->right->op == CODE_CONST && expr->right->value
                   ? remainder_of(expr, range_of(expr->left))
                   : range;
    default: return range;
    }
}

void arith_range(const struct code_expr *expr, int64_t *low, int64_t *high)
{
    struct range range = range_of(expr);

    *low = (int64_t)range.low;
    *high = (int64_t)range.high;
}

static bool inside(struct range inner, struct range outer)
{
    return inner.low >= outer.low && inner.high <= outer.high;
}

bool arith_lies_in(const struct code_expr *value, int64_t low, int64_t high)
{
    return inside(range_of(value), (struct range){low, high});
}

/* ---- types that meet ---- */

static bool is_literal(const struct env *env, const struct code_expr *expr)
{
    return expr->type == env->draft->types.literal;
}

static bool widens(const struct type *from, const struct type *to)
{
    bool ulint = !from->low && from->high == INT64_MAX;

    return from->kind == TYPE_INTEGER && to->kind == TYPE_INTEGER &&
           from->low >= to->low && from->high <= to->high &&
           (!ulint || from == to);
}

static const struct type *with_literal(struct env *env,
                                       const struct code_expr *literal,
                                       const struct type *type)
{
    const struct type *base = type_base(type);

    if (base->kind != TYPE_INTEGER)
        return NULL;
    if (literal->value >= base->low && literal->value <= base->high)
        return base;
    return env->draft->types.lint;
}

/* The type in which two operands meet, or NULL. */
static const struct type *meet(struct env *env,
                               const struct code_expr *left,
                               const struct code_expr *right)
{
    const struct type *a = type_base(left->type);
    const struct type *b = type_base(right->type);

    if (is_literal(env, left) && is_literal(env, right))
        return a;
    if (is_literal(env, left))
        return with_literal(env, left, b);
    if (is_literal(env, right))
        return with_literal(env, right, a);
    if (a == b)
        return a;
    return widens(a, b) ? b : widens(b, a) ? a : NULL;
}

static void adopt(struct env *env, struct code_expr *expr,
                  const struct type *type)
{
    if (is_literal(env, expr))
        expr->type = type;
}

static struct code_expr *mismatch(struct env *env,
                                  const struct code_expr *left,
                                  const struct code_expr *right,
                                  struct span span)
{
    bool numbers = left->type->kind == TYPE_INTEGER &&
                   right->type->kind == TYPE_INTEGER;

    diag_add(env->draft->diags, DIAG_ERROR, span,
             numbers
                 ? "declare both with one type that holds the values of "
                   "both"
                 : "compare and compute values of one type",
             "the types %s and %s do not meet", type_words(left->type),
             type_words(right->type));
    return NULL;
}

static struct code_expr *wrong(struct env *env, struct span span,
                               const char *hint, const char *what,
                               const struct type *type)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "%s, this is %s",
             what, type_words(type));
    return NULL;
}

/* ---- operators ---- */

static struct code_expr *join(struct env *env, enum code_op op,
                              const struct type *type,
                              struct code_expr *left,
                              struct code_expr *right)
{
    struct code_expr *expr =
        arith_new(env->draft, op, type,
                  right ? span_join(left->span, right->span) : left->span);

    expr->left = left;
    expr->right = right;
    return expr;
}

static struct code_expr *logical(struct env *env, enum tree_op op,
                                 struct code_expr *left,
                                 struct code_expr *right)
{
    static const enum code_op code_of[] = {
        [TREE_OR] = CODE_OR,
        [TREE_XOR] = CODE_XOR,
        [TREE_AND] = CODE_AND,
        [TREE_OR_ELSE] = CODE_OR_ELSE,
        [TREE_AND_THEN] = CODE_AND_THEN};
    const struct code_expr *bad = left->type->kind != TYPE_BOOL    ? left
                                  : right->type->kind != TYPE_BOOL ? right
                                                                   : NULL;

    if (bad)
        return wrong(env, bad->span, "compare it with a value",
                     "AND, OR and XOR take conditions (BOOL)", bad->type);
    return join(env, code_of[op], env->draft->types.boolean, left, right);
}

/* A number that is compared with an enumeration stands for the item with
 * that number. */
static bool item_for_number(struct env *env, struct code_expr *number,
                            const struct code_expr *other)
{
    const struct type *type = type_base(other->type);

    if (!is_literal(env, number) || number->op != CODE_CONST ||
        type->kind != TYPE_ENUM)
        return true;
    if (!shape_numbered(type, number->value, &number->value)) {
        diag_add(env->draft->diags, DIAG_ERROR, number->span,
                 "write one of its items",
                 "no item of %s has this number", type_words(type));
        return false;
    }
    number->type = type;
    return true;
}

static struct code_expr *comparison(struct env *env, enum tree_op op,
                                    struct code_expr *left,
                                    struct code_expr *right,
                                    struct span span)
{
    const struct type *type;

    if (!item_for_number(env, left, right) ||
        !item_for_number(env, right, left))
        return NULL;
    type = meet(env, left, right);
    if (!type)
        return mismatch(env, left, right, span);
    if (op != TREE_EQ && op != TREE_NE &&
        (type->kind == TYPE_BOOL || type->kind == TYPE_ENUM))
        return wrong(env, span, "use = or <>",
                     "only numbers and times have an order", left->type);
    adopt(env, left, type);
    adopt(env, right, type);
    arith_settle(env->draft, left);
    arith_settle(env->draft, right);
    return join(env, (enum code_op)(CODE_EQ + (op - TREE_EQ)),
                env->draft->types.boolean, left, right);
}

static struct code_expr *fold(struct env *env, enum tree_op op,
                              const struct code_expr *left,
                              const struct code_expr *right,
                              const struct type *type)
{
    int64_t value;

    if (left->op != CODE_CONST || right->op != CODE_CONST ||
        !typing_compute(op, left->value, right->value, &value) ||
        value < type->low || value > type->high)
        return NULL;
    return arith_constant(env->draft, type, value,
                          span_join(left->span, right->span));
}

static uint32_t site_of(struct env *env, const struct code_expr *expr)
{
    bool review = env->text != TEXT_CONTROL;
    struct range left = range_of(expr->left);
    struct range right = expr->right ? range_of(expr->right) : left;

    if (expr->op == CODE_DIV || expr->op == CODE_MOD) {
        if (right.low <= 0 && right.high >= 0)
            return draft_site(env->draft, ERROR_DIVISION, review,
                              expr->span);
        if (expr->op == CODE_MOD || right.low > -1 || right.high < -1 ||
            -left.low <= (wide)expr->type->high)
            return CODE_NO_SITE;
    } else if (inside(combine(expr->op, left, right),
                      of_type(expr->type))) {
        return CODE_NO_SITE;
    }
    return draft_site(env->draft, ERROR_OVERFLOW, review, expr->span);
}

/* The type of left op right for + - * / MOD, NULL when they do not go
 * together. */
static const struct type *number_type(struct env *env, enum tree_op op,
                                      const struct code_expr *left,
                                      const struct code_expr *right)
{
    bool a = left->type->kind == TYPE_TIME;
    bool b = right->type->kind == TYPE_TIME;
    bool scaled = (op == TREE_MUL && a != b) || (op == TREE_DIV && a && !b);

    if (a || b) {
        if (a && b)
            return op == TREE_ADD || op == TREE_SUB ? env->draft->types.time
                                                    : NULL;
        return scaled && (a ? right : left)->type->kind == TYPE_INTEGER
                   ? env->draft->types.time
                   : NULL;
    }
    if (left->type->kind != TYPE_INTEGER ||
        right->type->kind != TYPE_INTEGER)
        return NULL;
    return meet(env, left, right);
}

static struct code_expr *number(struct env *env, enum tree_op op,
                                struct code_expr *left,
                                struct code_expr *right, struct span span)
{
    const struct type *type = number_type(env, op, left, right);
    struct code_expr *expr;

    if (!type)
        return mismatch(env, left, right, span);
    expr = fold(env, op, left, right, type);
    if (expr)
        return expr;
    if (type == env->draft->types.literal) {
        diag_add(env->draft->diags, DIAG_ERROR, span,
                 "write the result as a number",
                 "this constant cannot be computed");
        return NULL;
    }
    if (type->kind == TYPE_INTEGER) {
        adopt(env, left, type);
        adopt(env, right, type);
    }
    arith_settle(env->draft, left);
    arith_settle(env->draft, right);
    expr = join(env, (enum code_op)(CODE_ADD + (op - TREE_ADD)), type, left,
                right);
    expr->site = site_of(env, expr);
    return expr;
}

struct code_expr *arith_binary(struct env *env, enum tree_op op,
                               struct code_expr *left,
                               struct code_expr *right, struct span span)
{
    if (op <= TREE_AND || op >= TREE_OR_ELSE)
        return logical(env, op, left, right);
    if (op >= TREE_EQ && op <= TREE_GE)
        return comparison(env, op, left, right, span);
    if (op >= TREE_ADD && op <= TREE_MOD)
        return number(env, op, left, right, span);
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "write the product out, or compute it beforehand",
             "** is not read in this version");
    return NULL;
}

static struct code_expr *negate(struct env *env, struct code_expr *value,
                                struct span span)
{
    struct code_expr *expr;

    if (value->op == CODE_CONST &&
        -(wide)value->value >= value->type->low &&
        -(wide)value->value <= value->type->high) {
        value->value = -value->value;
        value->span = span;
        return value;
    }
    expr = join(env, CODE_NEGATE, type_base(value->type), value, NULL);
    expr->span = span;
    expr->site = site_of(env, expr);
    return expr;
}

struct code_expr *arith_unary(struct env *env, enum tree_op op,
                              struct code_expr *value, struct span span)
{
    struct code_expr *expr;
    bool number =
        value->type->kind == TYPE_INTEGER || value->type->kind == TYPE_TIME;

    if (op == TREE_NOT) {
        if (value->type->kind != TYPE_BOOL)
            return wrong(env, value->span, "compare it with a value",
                         "NOT takes a condition (BOOL)", value->type);
        expr = join(env, CODE_NOT, value->type, value, NULL);
        expr->span = span;
        return expr;
    }
    if (!number)
        return wrong(env, span, "take the sign away",
                     "a sign stands before numbers and times only",
                     value->type);
    return op == TREE_PLUS ? value : negate(env, value, span);
}

/* ---- storing ---- */

static bool too_large(struct env *env, const struct type *shown,
                      int64_t value, const struct type *target,
                      struct span span)
{
    struct draft *draft = env->draft;

    diag_add(draft->diags, DIAG_ERROR, span,
             arena_printf(draft->arena, "write a value from %s to %s",
                          typing_value(draft, target, target->low),
                          typing_value(draft, target, target->high)),
             "%s does not fit the type %s",
             typing_value(draft, shown, value),
             typing_words(draft, target));
    return false;
}

static bool store_range(struct env *env, struct range range,
                        const struct type *target, struct span span,
                        uint32_t *site)
{
    *site = inside(range, of_type(target))
                ? CODE_NO_SITE
                : draft_site(env->draft, ERROR_SUBRANGE,
                             env->text != TEXT_CONTROL, span);
    return true;
}

bool arith_store_type(struct env *env, const struct type *value,
                      const struct type *target, struct span span,
                      uint32_t *site)
{
    *site = CODE_NO_SITE;
    if (!type_elementary(target) && type_fits(value, target))
        return true;
    if (!type_fits(value, target) &&
        (value->kind != TYPE_INTEGER || target->kind != TYPE_INTEGER)) {
        diag_add(env->draft->diags, DIAG_ERROR, span,
                 arena_printf(env->draft->arena,
                              "give a value of the type %s",
                              typing_words(env->draft, target)),
                 "a value of the type %s is needed here, this is %s",
                 typing_words(env->draft, target),
                 typing_words(env->draft, value));
        return false;
    }
    return store_range(env, of_type(value), target, span, site);
}

bool arith_store(struct env *env, struct code_expr *value,
                 const struct type *target, uint32_t *site)
{
    if (!arith_store_type(env,
                          value->op == CODE_CONST &&
                                  value->type->kind == TYPE_INTEGER &&
                                  target->kind == TYPE_INTEGER
                              ? target
                              : value->type,
                          target, value->span, site))
        return false;
    if (!type_elementary(target))
        return true;
    if (value->op == CODE_CONST &&
        (value->value < target->low || value->value > target->high))
        return too_large(env, value->type, value->value, target,
                         value->span);
    if (*site != CODE_NO_SITE && inside(range_of(value), of_type(target))) {
        env->draft->errors.n--; /* the site just made is not needed */
        *site = CODE_NO_SITE;
    }
    if (is_literal(env, value))
        value->type = type_base(target);
    return true;
}

void arith_settle(struct draft *draft, struct code_expr *value)
{
    if (value->type != draft->types.literal)
        return;
    value->type = value->value >= draft->types.dint->low &&
                          value->value <= draft->types.dint->high
                      ? draft->types.dint
                      : draft->types.lint;
}
