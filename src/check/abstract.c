#include "check/abstract.h"

#include "check/real.h"
#include "check/rights.h"
#include "check/typing.h"
#include "check/wording.h"

bool abstract_takes(const struct code_expr *left,
                    const struct code_expr *right)
{
    return type_abstracted(left->type) ||
           (right && type_abstracted(right->type));
}

static bool is_real(const struct code_expr *expr)
{
    return expr->type->kind == TYPE_REAL;
}

static struct code_expr *mismatch(struct env *env,
                                  const struct code_expr *left,
                                  const struct code_expr *right,
                                  struct span span)
{
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "compare and compute values of one type",
             "the types %s and %s do not meet", type_words(left->type),
             type_words(right->type));
    return NULL;
}

/* ---- nodes ---- */

static struct code_expr *node_new(struct draft *draft, enum code_op op,
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

/* A whole number without a type is given one. */
static void settle_whole(const struct draft *draft, struct code_expr *expr)
{
    if (expr->type == draft->types.literal)
        expr->type = draft->types.lint;
}

/* ---- open places ---- */

/* An assumption must say what it says, an EXPECT has one answer, and how the
 * machine moves is for its text to say. */
static bool may_be_open(struct env *env, struct span span)
{
    if (env->text != TEXT_ASSUMPTION && env->text != TEXT_EXPECT &&
        env->text != TEXT_ON_WHEN && env->text != TEXT_MECHANISM)
        return true;
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "compare a variable with a constant, or use whole numbers",
             "this value is not followed, and %s cannot leave it open",
             rights_text(env->text));
    return false;
}

static uint32_t add_place(struct env *env, const struct open_place *place)
{
    vec_push(&env->draft->open_places, *place);
    return (uint32_t)(env->draft->open_places.n - 1);
}

static const struct code_arg *operands_of(struct env *env,
                                          struct code_expr *const *operands,
                                          uint32_t count)
{
    struct code_arg *args =
        arena_array(env->draft->arena, count, sizeof *args);

    for (uint32_t i = 0; i < count; i++) {
        abstract_settle(env->draft, operands[i]);
        settle_whole(env->draft, operands[i]);
        args[i] = (struct code_arg){.kind = ARG_INPUT,
                                    .value = operands[i],
                                    .target_type = operands[i]->type,
                                    .site = CODE_NO_SITE};
    }
    return args;
}

/* Of what computes with REALs nobody looks whether it fails. */
static void note_reals(struct env *env, const struct open_place *place,
                       struct code_expr *const *operands, uint32_t count)
{
    for (uint32_t i = 0; i < count && place->kind == OPEN_VALUE; i++)
        if (is_real(operands[i]))
            env->draft->model->computes_reals = true;
}

struct code_expr *abstract_any(struct env *env, struct open_place place,
                               struct code_expr *const *operands,
                               uint32_t count)
{
    struct code_expr *expr;

    if (place.type->kind != TYPE_OPAQUE && !may_be_open(env, place.span))
        return NULL;
    note_reals(env, &place, operands, count);
    expr = node_new(env->draft, CODE_ANY, place.type, place.span);
    expr->args = operands_of(env, operands, count);
    expr->n_args = count;
    if (place.type->kind != TYPE_OPAQUE)
        expr->place = add_place(env, &place);
    return expr;
}

static struct code_expr *open_pair(struct env *env, struct open_place place,
                                   struct code_expr *left,
                                   struct code_expr *right)
{
    struct code_expr *both[2] = {left, right};

    return abstract_any(env, place, both, right ? 2 : 1);
}

/* ---- numbers ---- */

void abstract_settle(struct draft *draft, struct code_expr *value)
{
    if (value->type == draft->types.real_literal)
        value->type = draft->types.lreal;
}

/* Makes a number a value of this REAL type, in place. */
static bool as_real(struct env *env, struct code_expr *expr,
                    const struct type *type)
{
    struct draft *draft = env->draft;
    const struct type *base = type_base(type);
    struct code_expr *whole, *any;
    int64_t value;

    if (expr->type == draft->types.real_literal) {
        if (!real_exact(base, real_number(expr->type, expr->value), &value))
            return real_too_large(draft, base, expr->span);
        expr->value = value;
        expr->type = base;
        return true;
    }
    if (is_real(expr))
        return true;
    if (expr->op == CODE_CONST &&
        real_exact(base, (double)expr->value, &value)) {
        expr->value = value;
        expr->type = base;
        return true;
    }
    whole = ARENA_NEW(draft->arena, struct code_expr);
    *whole = *expr;
    any = open_pair(env,
                    (struct open_place){.kind = OPEN_VALUE,
                                        .what = "whole number as a REAL",
                                        .type = base,
                                        .span = expr->span},
                    whole, NULL);
    if (any)
        *expr = *any;
    return any != NULL;
}

/* REAL if nothing is longer: literals take what they meet. */
static const struct type *common(const struct draft *draft,
                                 const struct code_expr *left,
                                 const struct code_expr *right)
{
    const struct type *literal = draft->types.real_literal;
    const struct type *real = draft->types.real;
    bool left_real = is_real(left) && left->type != literal;
    bool right_real = is_real(right) && right->type != literal;

    if ((left_real && type_base(left->type) != real) ||
        (right_real && type_base(right->type) != real) ||
        (!left_real && !right_real))
        return draft->types.lreal;
    return real;
}

static bool is_number(const struct code_expr *expr)
{
    return is_real(expr) || expr->type->kind == TYPE_INTEGER;
}

const struct type *abstract_meet(struct env *env,
                                 struct code_expr *const *values,
                                 uint32_t count, const struct type *wanted)
{
    const struct elementary *types = &env->draft->types;
    const struct type *type = NULL;

    for (uint32_t i = 0; i < count; i++)
        if (is_real(values[i]) && values[i]->type != types->real_literal &&
            type != types->lreal)
            type = type_base(values[i]->type);
    if (!type)
        type = wanted && wanted->kind == TYPE_REAL ? type_base(wanted)
                                                   : types->real;
    for (uint32_t i = 0; i < count; i++)
        if (!as_real(env, values[i], type))
            return NULL;
    return type;
}

bool abstract_pick(struct env *env, struct code_expr *expr,
                   const char *what)
{
    if (!may_be_open(env, expr->span))
        return false;
    expr->place = add_place(
        env, &(struct open_place){.kind = OPEN_PICK,
                                  .what = what,
                                  .type = env->draft->types.order,
                                  .span = expr->span});
    return true;
}

/* ---- comparisons ---- */

static struct code_expr *compared(struct env *env, enum tree_op op,
                                  struct code_expr *left,
                                  struct code_expr *right, struct span span)
{
    struct code_expr *expr =
        node_new(env->draft, (enum code_op)(CODE_EQ + (op - TREE_EQ)),
                  env->draft->types.boolean, span);

    expr->left = left;
    expr->right = right;
    return expr;
}

static const char *sign_of(enum tree_op op)
{
    static const char *const signs[] = {
        [TREE_EQ] = "=",  [TREE_NE] = "<>", [TREE_LT] = "<",
        [TREE_LE] = "<=", [TREE_GT] = ">",  [TREE_GE] = ">=",
        [TREE_ADD] = "+", [TREE_SUB] = "-", [TREE_MUL] = "*",
        [TREE_DIV] = "/", [TREE_MOD] = "MOD", [TREE_POWER] = "**"};

    return signs[op];
}

static struct code_expr *compare_reals(struct env *env, enum tree_op op,
                                       struct code_expr *left,
                                       struct code_expr *right,
                                       struct span span)
{
    const struct type *type = common(env->draft, left, right);
    struct code_expr *expr;

    if (!as_real(env, left, type) || !as_real(env, right, type))
        return NULL;
    expr = compared(env, op, left, right, span);
    if (left->op == CODE_CONST || right->op == CODE_CONST)
        return expr;
    if (!may_be_open(env, span))
        return NULL;
    expr->place = add_place(
        env, &(struct open_place){.kind = OPEN_ORDER,
                                  .what = sign_of(op),
                                  .type = env->draft->types.order,
                                  .span = span});
    return expr;
}

static struct code_expr *comparison(struct env *env, enum tree_op op,
                                    struct code_expr *left,
                                    struct code_expr *right,
                                    struct span span)
{
    if (is_number(left) && is_number(right))
        return compare_reals(env, op, left, right, span);
    if (!type_fits(left->type, right->type))
        return mismatch(env, left, right, span);
    return open_pair(env,
                     (struct open_place){.kind = OPEN_COMPARISON,
                                         .what = sign_of(op),
                                         .type = env->draft->types.boolean,
                                         .span = span},
                     left, right);
}

/* ---- arithmetic ---- */

/* What left op right gives, NULL when they do not go together. */
static const struct type *result_of(const struct draft *draft,
                                    enum tree_op op,
                                    const struct code_expr *left,
                                    const struct code_expr *right)
{
    bool sum = op == TREE_ADD || op == TREE_SUB;
    bool time = right->type->kind == TYPE_TIME;

    if (is_number(left) && is_number(right))
        return common(draft, left, right);
    if (left->type->kind == TYPE_TIME && is_real(right))
        return op == TREE_MUL || op == TREE_DIV ? draft->types.time : NULL;
    if (time && is_real(left))
        return op == TREE_MUL ? draft->types.time : NULL;
    if (!sum || left->type->kind != TYPE_OPAQUE ||
        type_fits(left->type, draft->types.text))
        return NULL;
    if (time)
        return type_base(left->type);
    return op == TREE_SUB && type_fits(left->type, right->type)
               ? draft->types.time
               : NULL;
}

static double number_of(const struct code_expr *expr)
{
    return is_real(expr) ? real_number(expr->type, expr->value)
                         : (double)expr->value;
}

/* Two numbers that are known.  False: left open; else *out is NULL in a round
 * that does not count. */
static bool known(struct env *env, enum tree_op op,
                  const struct code_expr *left, const struct code_expr *right,
                  struct code_expr **out)
{
    struct draft *draft = env->draft;
    const struct type *literal = draft->types.real_literal;
    const struct type *type = common(draft, left, right);
    double sides[2];
    int64_t value;

    if (left->op != CODE_CONST || right->op != CODE_CONST ||
        !is_number(left) || !is_number(right) || op < TREE_ADD ||
        op > TREE_DIV)
        return false;
    if ((left->type == literal || !is_real(left)) &&
        (right->type == literal || !is_real(right)))
        type = literal;
    sides[0] = number_of(left);
    sides[1] = number_of(right);
    switch (real_compute(draft, op, type, sides, &value)) {
    case REAL_COMPUTED:
        *out = node_new(draft, CODE_CONST, type, left->span);
        (*out)->value = value;
        return true;
    case REAL_LATER: *out = NULL; return true;
    default: return false;
    }
}

struct code_expr *abstract_binary(struct env *env, enum tree_op op,
                                  struct code_expr *left,
                                  struct code_expr *right, struct span span)
{
    const struct type *type;
    struct code_expr *expr;

    if (op >= TREE_EQ && op <= TREE_GE)
        return comparison(env, op, left, right, span);
    if (known(env, op, left, right, &expr)) {
        if (expr)
            expr->span = span;
        return expr;
    }
    type = result_of(env->draft, op, left, right);
    if (!type && type_fits(left->type, env->draft->types.text) &&
        type_fits(right->type, left->type)) {
        diag_add(env->draft->diags, DIAG_ERROR, span, "write CONCAT (a, b)",
                 "texts are not computed with signs");
        return NULL;
    }
    if (!type)
        return mismatch(env, left, right, span);
    return open_pair(env,
                     (struct open_place){.kind = OPEN_VALUE,
                                         .what = sign_of(op),
                                         .type = type,
                                         .span = span},
                     left, right);
}

struct code_expr *abstract_negate(struct env *env, struct code_expr *value,
                                  struct span span)
{
    if (!is_real(value)) {
        diag_add(env->draft->diags, DIAG_ERROR, span, "take the sign away",
                 "a sign stands before numbers and times only, this is %s",
                 type_words(value->type));
        return NULL;
    }
    if (value->op != CODE_CONST)
        return open_pair(env,
                         (struct open_place){.kind = OPEN_VALUE,
                                             .what = "-",
                                             .type = type_base(value->type),
                                             .span = span},
                         value, NULL);
    value->value = real_value(value->type,
                              -real_number(value->type, value->value));
    value->span = span;
    return value;
}

/* ---- storing ---- */

static bool wrong_value(struct env *env, const struct code_expr *value,
                        const struct type *target)
{
    bool numbers =
        is_real(value) && value->type != env->draft->types.real_literal &&
        (target->kind == TYPE_INTEGER || target->kind == TYPE_REAL);

    diag_add(env->draft->diags, DIAG_ERROR, value->span,
             numbers ? arena_printf(env->draft->arena, "write %s_TO_%s (...)",
                                    type_words(type_base(value->type)),
                                    type_words(type_base(target)))
                     : arena_printf(env->draft->arena,
                                    "give a value of the type %s",
                                    wording_type(env->draft, target)),
             "a value of the type %s is needed here, this is %s",
             wording_type(env->draft, target), type_words(value->type));
    return false;
}

bool abstract_store(struct env *env, struct code_expr *value,
                    const struct type *target)
{
    const struct type *literal = env->draft->types.real_literal;

    if (target->kind == TYPE_REAL && is_number(value) &&
        (!is_real(value) || value->type == literal ||
         type_fits(value->type, target) || !type_base(target)->narrow))
        return as_real(env, value, target);
    if (target->kind == TYPE_OPAQUE && type_fits(value->type, target))
        return true;
    return wrong_value(env, value, target);
}

/* ---- literals ---- */

struct code_expr *abstract_literal(struct env *env,
                                   const struct tree_expr *tree)
{
    const struct type *type;
    int64_t value;

    struct code_expr *expr;

    if (!real_constant(env->draft, tree, &type, &value))
        return NULL;
    expr = node_new(env->draft, CODE_CONST, type, tree->span);
    expr->value = value;
    return expr;
}
