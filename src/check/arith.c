#include "check/arith.h"

#include "check/controller.h"
#include "check/abstract.h"
#include "check/extent.h"
#include "check/meet.h"
#include "check/shape.h"
#include "check/told.h"
#include "check/typing.h"
#include "check/wording.h"
#include "check/written.h"

enum { MOST_POWER = 32 };

typedef __int128 wide;

struct code_expr *arith_new(struct draft *draft, enum code_op op,
                            const struct type *type, struct span span)
{
    struct code_expr *expr = ARENA_NEW(draft->arena, struct code_expr);

    expr->op = op;
    expr->type = type;
    expr->span = span;
    expr->site = CODE_NO_SITE;
    expr->place = CODE_NO_SITE;
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

static bool is_bits(const struct env *env, const struct code_expr *left,
                    const struct code_expr *right)
{
    bool a = left->type->kind == TYPE_BITS;
    bool b = right->type->kind == TYPE_BITS;

    return (a && (b || meet_is_literal(env, right))) ||
           (b && meet_is_literal(env, left));
}

/* AND, OR and XOR of bit strings: in the wider of the two types. */
static struct code_expr *bitwise(struct env *env, enum tree_op op,
                                 struct code_expr *left,
                                 struct code_expr *right)
{
    const struct type *type = meet_types(env, left, right);

    if (!type)
        return meet_mismatch(env, left, right, left->span);
    meet_adopt(env, left, type);
    meet_adopt(env, right, type);
    return join(env,
                op == TREE_OR    ? CODE_BIT_OR
                : op == TREE_XOR ? CODE_BIT_XOR
                                 : CODE_BIT_AND,
                type, left, right);
}

/* Can it be told whether the expression is evaluated? */
static bool may_matter(const struct code_expr *expr)
{
    bool matters = expr && (expr->op == CODE_CALL ||
                            expr->site != CODE_NO_SITE);

    for (uint32_t i = 0; expr && i < expr->variable.n_steps; i++)
        matters = matters ||
                  expr->variable.steps[i].site != CODE_NO_SITE ||
                  may_matter(expr->variable.steps[i].value);
    for (uint32_t i = 0; expr && i < expr->n_args && !matters; i++)
        matters = may_matter(expr->args[i].value);
    return matters || (expr && (may_matter(expr->left) ||
                                may_matter(expr->right)));
}

/* AND and OR of control text, where they need not evaluate both sides. */
static struct code_expr *in_turn(const struct env *env,
                                 struct code_expr *expr)
{
    const struct setting *conditions =
        &env->draft->model->settings[SETTING_CONDITIONS];

    if (env->text != TEXT_CONTROL ||
        (expr->op != CODE_AND && expr->op != CODE_OR) ||
        !may_matter(expr->right))
        return expr;
    controller_touch(env->draft, SETTING_CONDITIONS);
    if ((!conditions->any && conditions->value == 0))
        return expr;
    expr->op = expr->op == CODE_AND ? CODE_AND_THEN : CODE_OR_ELSE;
    expr->asks = conditions->any;
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

    bool by_need = op == TREE_OR_ELSE || op == TREE_AND_THEN;

    if (!by_need && is_bits(env, left, right))
        return bitwise(env, op, left, right);
    if (bad)
        return wrong(env, bad->span, "compare it with a value",
                     by_need ? "AND_THEN and OR_ELSE take conditions (BOOL)"
                             : "AND, OR and XOR take conditions (BOOL)",
                     bad->type);
    return in_turn(env, join(env, code_of[op], env->draft->types.boolean,
                             left, right));
}

/* A number that is compared with an enumeration stands for the item with
 * that number. */
static bool item_for_number(struct env *env, struct code_expr *number,
                            const struct code_expr *other)
{
    const struct type *type = type_base(other->type);

    if (!meet_is_literal(env, number) || number->op != CODE_CONST ||
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
    type = meet_types(env, left, right);
    if (!type)
        return meet_mismatch(env, left, right, span);
    if (op != TREE_EQ && op != TREE_NE &&
        (type->kind == TYPE_BOOL || type->kind == TYPE_ENUM))
        return wrong(env, span, "use = or <>",
                     "only numbers and times have an order", left->type);
    meet_adopt(env, left, type);
    meet_adopt(env, right, type);
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
        !written_compute(op, left->value, right->value, &value) ||
        value < type->low || value > type->high)
        return NULL;
    return arith_constant(env->draft, type, value,
                          span_join(left->span, right->span));
}

/* Where a result that leaves its type may be taken for another one. */
static bool may_turn(const struct env *env, const struct code_expr *expr)
{
    const struct setting *overflow =
        &env->draft->model->settings[SETTING_OVERFLOW];

    return (overflow->any || overflow->value != OVERFLOW_REPORTED) &&
           env->text == TEXT_CONTROL && expr->op != CODE_MOD &&
           type_base(expr->type)->kind == TYPE_INTEGER &&
           type_width(expr->type) < 64;
}

static uint32_t site_of(struct env *env, struct code_expr *expr)
{
    bool review = env->text != TEXT_CONTROL, divides;
    struct extent left = extent_of(expr->left);
    struct extent right = expr->right ? extent_of(expr->right) : left;

    divides = expr->op == CODE_DIV || expr->op == CODE_MOD;
    if (divides ? expr->op == CODE_MOD || right.low > -1 || right.high < -1 ||
                      -left.low <= (wide)expr->type->high
                : extent_holds(extent_type(expr->type),
                               extent_combine(expr->op, left, right))) {
        if (!divides || right.low > 0 || right.high < 0)
            return CODE_NO_SITE;
    } else {
        expr->turns = may_turn(env, expr);
    }
    return draft_site(env->draft,
                      divides && right.low <= 0 && right.high >= 0
                          ? ERROR_DIVISION : ERROR_OVERFLOW,
                      review, expr->span);
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
    return meet_types(env, left, right);
}

/* The unsigned integer of the same width. */
static const struct type *as_number(const struct env *env,
                                    const struct type *bits)
{
    static const char *const words[] = {"USINT", "UINT", "UDINT", "ULINT"};
    struct symbol *symbol = NULL;

    for (unsigned i = 0; i < 4; i++)
        if (type_width(bits) == 8u << i)
            symbol = scope_find(&env->draft->type_scope,
                                names_of(env->draft->names, words[i]));
    return symbol ? symbol->type : NULL;
}

static struct code_expr *no_sum(struct env *env,
                                const struct code_expr *left,
                                const struct code_expr *right,
                                struct span span)
{
    const struct type *bits =
        left->type->kind == TYPE_BITS ? left->type : right->type;

    return wrong(env, span,
                 meet_hint(env, bits, as_number(env, bits),
                           "compute numbers only"),
                 "+ - * / and MOD take numbers", bits);
}

static struct code_expr *number(struct env *env, enum tree_op op,
                                struct code_expr *left,
                                struct code_expr *right, struct span span)
{
    const struct type *type = number_type(env, op, left, right);
    struct code_expr *expr;

    if (!type && (left->type->kind == TYPE_BITS ||
                  right->type->kind == TYPE_BITS))
        return no_sum(env, left, right, span);
    if (!type)
        return meet_mismatch(env, left, right, span);
    expr = fold(env, op, left, right, type);
    if (expr)
        return expr;
    if (type == env->draft->types.literal) {
        bool zero = (op == TREE_DIV || op == TREE_MOD) && !right->value;

        diag_add(env->draft->diags, DIAG_ERROR, span,
                 zero ? "divide by another number"
                      : "write the result as a number",
                 zero ? "this divides by 0"
                      : "this constant cannot be computed");
        return NULL;
    }
    if (type->kind == TYPE_INTEGER) {
        meet_adopt(env, left, type);
        meet_adopt(env, right, type);
    }
    arith_settle(env->draft, left);
    arith_settle(env->draft, right);
    expr = join(env, (enum code_op)(CODE_ADD + (op - TREE_ADD)), type, left,
                right);
    expr->site = site_of(env, expr);
    return expr;
}

/* A variable or a number to a known power: a product. */
static struct code_expr *power(struct env *env, struct code_expr *base,
                               struct code_expr *exponent, struct span span)
{
    struct code_expr *all = NULL;
    bool plain = base->op == CODE_CONST ||
                 (base->op == CODE_VARIABLE && !base->variable.n_steps);

    if (base->type->kind != TYPE_INTEGER || !plain ||
        exponent->op != CODE_CONST || exponent->type->kind != TYPE_INTEGER ||
        exponent->value < 1 || exponent->value > MOST_POWER) {
        diag_add(env->draft->diags, DIAG_ERROR, span,
                 "write the product out, or compute it beforehand",
                 "** is read between REALs, and for an integer variable with "
                 "an exponent from 1 to %d that is written as a number",
                 MOST_POWER);
        return NULL;
    }
    for (int64_t i = 0; i < exponent->value && (all || !i); i++) {
        struct code_expr *copy = ARENA_NEW(env->draft->arena,
                                           struct code_expr);

        *copy = *base;
        all = all ? number(env, TREE_MUL, all, copy, span) : copy;
        if (all)
            all->span = span;
    }
    return all;
}

struct code_expr *arith_binary(struct env *env, enum tree_op op,
                               struct code_expr *left,
                               struct code_expr *right, struct span span)
{
    if (op <= TREE_AND || op >= TREE_OR_ELSE)
        return logical(env, op, left, right);
    if (abstract_takes(left, right))
        return abstract_binary(env, op, left, right, span);
    if (op >= TREE_EQ && op <= TREE_GE)
        return comparison(env, op, left, right, span);
    if (op >= TREE_ADD && op <= TREE_MOD)
        return number(env, op, left, right, span);
    return power(env, left, right, span);
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

static struct code_expr *complement(struct env *env, struct code_expr *value,
                                    struct span span)
{
    struct code_expr *expr;

    expr = join(env, CODE_BIT_NOT, type_base(value->type), value, NULL);
    expr->span = span;
    return expr;
}

struct code_expr *arith_unary(struct env *env, enum tree_op op,
                              struct code_expr *value, struct span span)
{
    struct code_expr *expr;
    bool number =
        value->type->kind == TYPE_INTEGER || value->type->kind == TYPE_TIME;

    if (op == TREE_NOT && value->type->kind == TYPE_BITS)
        return complement(env, value, span);
    if (op == TREE_NOT) {
        if (value->type->kind != TYPE_BOOL)
            return wrong(env, value->span, "compare it with a value",
                         "NOT takes a condition (BOOL)", value->type);
        expr = join(env, CODE_NOT, value->type, value, NULL);
        expr->span = span;
        return expr;
    }
    if (type_abstracted(value->type) && op == TREE_NEGATE)
        return abstract_negate(env, value, span);
    if (!number && value->type->kind != TYPE_REAL)
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
             arena_printf(draft->arena, "write a value from %s",
                          wording_range(draft, target)),
             "%s does not fit the type %s",
             wording_value(draft, shown, value),
             wording_type(draft, target));
    return false;
}

static bool store_range(struct env *env, struct extent range,
                        const struct type *target, struct span span,
                        uint32_t *site)
{
    *site = extent_holds(extent_type(target), range)
                ? CODE_NO_SITE
                : draft_site(env->draft, ERROR_SUBRANGE,
                             env->text != TEXT_CONTROL, span);
    return true;
}

/* Numbers and bit strings that control text stores without a conversion, as
 * long as the value fits. */
static bool stores_number(struct env *env, const struct type *value,
                          const struct type *target, struct span span)
{
    bool bits = value->kind == TYPE_BITS || target->kind == TYPE_BITS;

    if (env->text != TEXT_CONTROL ||
        (value->kind != TYPE_INTEGER && value->kind != TYPE_BITS) ||
        (target->kind != TYPE_INTEGER && target->kind != TYPE_BITS))
        return false;
    if (value != env->draft->types.literal)
        told_seen(env->draft, bits ? TOLD_BITS_NUMBER : TOLD_SIGNS, span);
    return true;
}

bool arith_store_type(struct env *env, const struct type *value,
                      const struct type *target, struct span span,
                      uint32_t *site)
{
    bool longer = value->kind == TYPE_REAL && target->kind == TYPE_REAL &&
                  !type_base(target)->narrow;

    *site = CODE_NO_SITE;
    if (!type_elementary(target) && type_fits(value, target))
        return true;
    if (!meet_stores(value, target) && !longer &&
        !stores_number(env, value, target, span)) {
        diag_add(env->draft->diags, DIAG_ERROR, span,
                 meet_hint(env, value, target,
                           wording_example(env->draft, target)),
                 "a value of the type %s is needed here, this is %s",
                 wording_type(env->draft, target),
                 wording_type(env->draft, value));
        return false;
    }
    return store_range(env, extent_type(value), target, span, site);
}

/* A constant whose value alone is asked. */
static bool takes_number(const struct env *env,
                         const struct code_expr *value,
                         const struct type *target)
{
    if (value->op != CODE_CONST || value->type->kind != TYPE_INTEGER)
        return false;
    return target->kind == TYPE_INTEGER ||
           (target->kind == TYPE_BITS && meet_is_literal(env, value));
}

bool arith_store(struct env *env, struct code_expr *value,
                 const struct type *target, uint32_t *site)
{
    *site = CODE_NO_SITE;
    if (abstract_takes(value, NULL) || type_abstracted(target))
        return abstract_store(env, value, target);
    if (!arith_store_type(env,
                          takes_number(env, value, target) ? target
                                                           : value->type,
                          target, value->span, site))
        return false;
    if (!type_elementary(target))
        return true;
    if (value->op == CODE_CONST &&
        (value->value < target->low || value->value > target->high ||
         (value->value < 0 && meet_is_literal(env, value) &&
          type_unsigned(target))))
        return too_large(env, value->type, value->value, target,
                         value->span);
    if (*site != CODE_NO_SITE &&
        extent_lies_in(value, target->low, target->high)) {
        env->draft->errors.n--; /* the site just made is not needed */
        *site = CODE_NO_SITE;
    }
    if (meet_is_literal(env, value))
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
