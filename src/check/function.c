#include "check/function.h"

#include <string.h>
#include <strings.h>

#include "check/abstract.h"
#include "check/arith.h"
#include "check/convert.h"
#include "check/enabled.h"
#include "check/extent.h"
#include "check/loose.h"
#include "check/meet.h"
#include "check/openfn.h"
#include "check/resolve.h"
#include "check/typing.h"

struct calling {
    struct env *env;
    const struct tree_expr *tree;
    const struct type *wanted;
    const struct function_below *below;
    const char *name;
    const struct standard_function *function;
    const struct tree_expr *given[FUNCTION_MOST_ARGS];
    struct code_expr *value[FUNCTION_MOST_ARGS];
    uint32_t n;
};

static struct code_expr *refuse(const struct calling *c, struct span span,
                                const char *hint, const char *what)
{
    diag_add(c->env->draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return NULL;
}

/* ---- arguments ---- */

static uint32_t place_of(const struct calling *c,
                         const struct standard_function *f,
                         const struct tree_ident *name)
{
    char parameter[16];

    (void)c;
    for (uint32_t i = 0; i < f->most; i++) {
        standard_function_parameter(f, i, parameter);
        if (strcasecmp(parameter, name->name->folded) == 0)
            return i;
    }
    return f->most;
}

static bool no_parameter(const struct calling *c,
                         const struct standard_function *f,
                         const struct tree_arg *arg)
{
    const char *names = arena_printf(
        c->env->draft->arena, f->most == FUNCTION_MOST_ARGS
                                  ? "its inputs are %s and those that follow"
                                  : "its inputs are %s",
        f->parameters);

    if (c->env->text == TEXT_CONTROL && enabled_word(arg->name->name))
        refuse(c, arg->span,
               "assign the call to a variable in a line of its own",
               "EN and ENO are read in a call that is a line of its own, or "
               "all that stands behind :=");
    else if (arg->output)
        refuse(c, arg->span, "take the result of the call",
               arena_printf(c->env->draft->arena,
                            "'%s' has no output that is named", c->name));
    else
        refuse(c, arg->span, names,
               arena_printf(c->env->draft->arena, "'%s' has no input '%s'",
                            c->name, arg->name->name->spelling));
    return false;
}

static bool place(struct calling *c, const struct standard_function *f,
                  const struct tree_arg *arg, uint32_t number)
{
    uint32_t at = arg->name ? place_of(c, f, arg->name) : number;

    if (arg->name && (arg->output || at == f->most))
        return no_parameter(c, f, arg);
    if (!arg->name != !c->tree->args.first->name)
        return refuse(c, arg->span, "name all of them or none",
                      "arguments with and without names in one call");
    if (at >= f->most)
        return refuse(c, arg->span, "leave it out", "too many arguments");
    if (c->given[at])
        return refuse(c, arg->span, "give it once",
                      "this argument is given twice");
    c->given[at] = arg->value;
    c->n = at + 1 > c->n ? at + 1 : c->n;
    return true;
}

static bool gather(struct calling *c, const struct standard_function *f)
{
    uint32_t number = 0;
    char parameter[16];

    for (const struct tree_arg *arg = c->tree->args.first; arg;
         arg = arg->next)
        if (!place(c, f, arg, number++))
            return false;
    c->n = c->n > f->least ? c->n : f->least;
    for (uint32_t i = 0; i < c->n; i++) {
        if (c->given[i])
            continue;
        standard_function_parameter(f, i, parameter);
        return refuse(c, c->tree->span, "give it in this call",
                      arena_printf(c->env->draft->arena,
                                   "'%s' is called without '%s'", c->name,
                                   parameter));
    }
    return true;
}

/* The arguments from `first` on: items of an enumeration last, when the
 * others have told which. */
static bool check_values(struct calling *c, uint32_t first,
                         const struct type *wanted)
{
    const struct type *type = wanted;

    for (int items = 0; items <= 1; items++)
        for (uint32_t i = first; i < c->n; i++) {
            if (resolve_may_be_item(c->env, c->given[i]) != items)
                continue;
            c->value[i] = c->below->check(c->env, c->given[i], type);
            if (!c->value[i])
                return false;
            if (!type && !meet_is_literal(c->env, c->value[i]))
                type = c->value[i]->type;
        }
    return true;
}

/* ---- one type for several values ---- */

static bool takes_all(const struct calling *c, uint32_t first,
                      const struct type *type)
{
    if (!type || (type->kind != TYPE_INTEGER && type->kind != TYPE_BITS))
        return false;
    for (uint32_t i = first; i < c->n; i++)
        if (c->value[i]->value < type_base(type)->low ||
            c->value[i]->value > type_base(type)->high ||
            (c->value[i]->value < 0 && type_unsigned(type)))
            return false;
    return true;
}

/* All are numbers without a type: that which is wanted, else what holds
 * them. */
static const struct type *of_literals(const struct calling *c,
                                      uint32_t first)
{
    const struct elementary *types = &c->env->draft->types;

    return takes_all(c, first, c->wanted)      ? type_base(c->wanted)
           : takes_all(c, first, types->dint) ? types->dint
                                              : types->lint;
}

/* The type in which the values from `first` on meet; NULL when a mistake was
 * reported.  Numbers without a type have it then. */
static const struct type *common_type(struct calling *c, uint32_t first)
{
    struct code_expr *with = NULL;
    struct code_expr probe = {0};
    const struct type *type;

    loose_values(c->env, c->value + first, c->n - first);
    for (int literal = 0; literal <= 1; literal++)
        for (uint32_t i = first; i < c->n; i++) {
            if (meet_is_literal(c->env, c->value[i]) != literal)
                continue;
            if (!with && literal)
                break;
            type = with ? meet_types(c->env, with, c->value[i])
                        : type_base(c->value[i]->type);
            if (!type) {
                meet_mismatch(c->env, with, c->value[i], c->tree->span);
                return NULL;
            }
            probe = *c->value[i];
            probe.type = type;
            with = &probe;
        }
    type = with ? with->type : of_literals(c, first);
    for (uint32_t i = first; i < c->n; i++)
        meet_adopt(c->env, c->value[i], type);
    return type;
}

/* ---- values that are not followed ---- */

/* Is one of the values a REAL, a text or a date? */
static bool is_open(const struct calling *c)
{
    for (uint32_t i = 0; i < c->n; i++)
        if (type_abstracted(c->value[i]->type))
            return true;
    return false;
}

static struct code_expr *opened(struct calling *c)
{
    struct code_expr *expr;

    if (openfn_call(c->env, c->tree, c->value, c->n, &expr))
        return expr;
    return refuse(c, c->tree->span, "write it with operators",
                  "this function does not take such values");
}

/* Are these values numbers, one of them a REAL? */
static bool are_reals(const struct calling *c, uint32_t first)
{
    bool real = false;

    for (uint32_t i = first; i < c->n; i++) {
        real |= c->value[i]->type->kind == TYPE_REAL;
        if (c->value[i]->type->kind != TYPE_REAL &&
            c->value[i]->type->kind != TYPE_INTEGER)
            return false;
    }
    return real;
}

/* ---- the functions ---- */

static struct code_expr *made(struct calling *c, const struct type *type)
{
    struct arena *arena = c->env->draft->arena;
    struct code_arg *args = arena_array(arena, c->n, sizeof *args);
    struct code_expr *expr =
        arith_new(c->env->draft, CODE_STANDARD, type, c->tree->span);

    for (uint32_t i = 0; i < c->n; i++)
        args[i] = (struct code_arg){.kind = ARG_INPUT,
                                    .parameter = i,
                                    .value = c->value[i],
                                    .target_type = c->value[i]->type,
                                    .site = CODE_NO_SITE};
    expr->function = c->function->function;
    expr->args = args;
    expr->n_args = c->n;
    return expr;
}

static uint32_t site(const struct calling *c, enum error_kind kind)
{
    return draft_site(c->env->draft, kind, c->env->text != TEXT_CONTROL,
                      c->tree->span);
}

/* One of the REALs from `first` on. */
static struct code_expr *chosen_real(struct calling *c, uint32_t first)
{
    const struct type *type =
        abstract_meet(c->env, c->value + first, c->n - first, c->wanted);

    return type ? made(c, type) : NULL;
}

/* LIMIT, MIN, MAX of REALs: but for not-a-number one of them. */
static struct code_expr *bounded_real(struct calling *c)
{
    struct code_expr *expr;

    if (c->n > 3)
        return opened(c);
    expr = chosen_real(c, 0);
    return expr && abstract_pick(c->env, expr, c->name) ? expr : NULL;
}

static struct code_expr *one_of(struct calling *c, uint32_t first)
{
    const struct type *type;

    if (are_reals(c, first))
        return chosen_real(c, first);
    type = common_type(c, first);
    return type ? made(c, type) : NULL;
}

static struct code_expr *select_one(struct calling *c)
{
    c->value[0] = c->below->condition(c->env, c->given[0]);
    if (!c->value[0] || !check_values(c, 1, c->wanted))
        return NULL;
    return is_open(c) && !are_reals(c, 1) ? opened(c) : one_of(c, 1);
}

static bool is_whole(const struct calling *c, uint32_t i)
{
    loose_number(c->env, c->value[i]);
    if (c->value[i]->type->kind == TYPE_INTEGER)
        return true;
    diag_add(c->env->draft->diags, DIAG_ERROR, c->given[i]->span,
             "give an integer", "a whole number is needed here, this is %s",
             type_words(c->value[i]->type));
    return false;
}

static struct code_expr *multiplex(struct calling *c)
{
    const struct code_expr *k;
    struct code_expr *expr;
    int64_t last = (int64_t)c->n - 2;

    c->value[0] = c->below->check(c->env, c->given[0], NULL);
    if (!c->value[0] || !check_values(c, 1, c->wanted))
        return NULL;
    arith_settle(c->env->draft, c->value[0]);
    k = c->value[0];
    if (!is_whole(c, 0))
        return NULL;
    if (is_open(c) && !are_reals(c, 1))
        return opened(c);
    if (k->op == CODE_CONST && (k->value < 0 || k->value > last))
        return refuse(c, c->given[0]->span,
                      arena_printf(c->env->draft->arena,
                                   "write a number from 0 to %lld",
                                   (long long)last),
                      "MUX has no input of this number");
    expr = one_of(c, 1);
    if (!expr)
        return NULL;
    if (!extent_lies_in(k, 0, last))
        expr->site = site(c, ERROR_SELECTOR);
    return expr;
}

static bool has_order(const struct calling *c, const struct type *type)
{
    if (type->kind != TYPE_BOOL && type->kind != TYPE_ENUM)
        return true;
    if (type->kind == TYPE_ENUM && type_in_order(type))
        return true;
    diag_add(c->env->draft->diags, DIAG_ERROR, c->tree->span,
             "give numbers, bit strings or times",
             type->kind == TYPE_ENUM
                 ? "the items of %s are not declared in the order of their "
                   "numbers: which of them is less is not clear"
                 : "only numbers, bit strings and times have an order, this "
                   "is %s",
             type_words(type));
    return false;
}

/* LIMIT, MIN, MAX; comparisons of more than two. */
static struct code_expr *ordered(struct calling *c, bool compares)
{
    const struct type *type;

    if (!check_values(c, 0, compares ? NULL : c->wanted))
        return NULL;
    if (!compares && are_reals(c, 0))
        return bounded_real(c);
    if (is_open(c))
        return opened(c);
    type = common_type(c, 0);
    if (!type || (c->function->function != FUNCTION_EQ &&
                  !has_order(c, type)))
        return NULL;
    return made(c, compares ? c->env->draft->types.boolean : type);
}

static struct code_expr *absolute(struct calling *c)
{
    const struct type *type;
    struct code_expr *expr;

    if (!check_values(c, 0, c->wanted))
        return NULL;
    if (is_open(c))
        return opened(c);
    if (!is_whole(c, 0))
        return NULL;
    type = common_type(c, 0);
    expr = made(c, type);
    if (type->low < -type->high &&
        !extent_lies_in(c->value[0], -type->high, type->high))
        expr->site = site(c, ERROR_OVERFLOW);
    return expr;
}

static struct code_expr *no_bits(struct calling *c)
{
    const struct type *type = c->value[0]->type;
    const struct elementary *types = &c->env->draft->types;

    diag_add(c->env->draft->diags, DIAG_ERROR, c->given[0]->span,
             meet_is_literal(c->env, c->value[0])
                 ? "write its type, such as WORD#16#FF"
             : type->kind == TYPE_INTEGER
                 ? meet_hint(c->env, type,
                             types->bits[type_width(type) == 8    ? 0
                                         : type_width(type) == 16 ? 1
                                         : type_width(type) == 32 ? 2
                                                                  : 3],
                             "")
                 : "give a BYTE, WORD, DWORD or LWORD",
             "%s moves bit strings, this is %s", c->name, type_words(type));
    return NULL;
}

static struct code_expr *shift(struct calling *c)
{
    const struct code_expr *n;
    const struct type *back;
    struct code_expr *expr;

    c->value[0] = c->below->check(c->env, c->given[0], c->wanted);
    c->value[1] = c->below->check(c->env, c->given[1], NULL);
    if (!c->value[0] || !c->value[1])
        return NULL;
    if (c->wanted && c->wanted->kind == TYPE_BITS &&
        c->value[0]->value >= 0 &&
        c->value[0]->value <= type_base(c->wanted)->high)
        meet_adopt(c->env, c->value[0], type_base(c->wanted));
    arith_settle(c->env->draft, c->value[1]);
    n = c->value[1];
    back = loose_bits(c->env, c->value[0], c->wanted);
    if (c->value[0]->type->kind != TYPE_BITS)
        return no_bits(c);
    if (!is_whole(c, 1))
        return NULL;
    if (n->op == CODE_CONST && n->value < 0)
        return refuse(c, n->span, "shift the other way",
                      "a shift by a number of places below zero");
    expr = made(c, type_base(c->value[0]->type));
    if (!extent_lies_in(n, 0, INT64_MAX))
        expr->site = site(c, ERROR_SHIFT);
    return loose_back(c->env, back, expr);
}

static struct code_expr *operators(struct calling *c)
{
    enum tree_op op = c->function->op;
    struct code_expr *all, *made[FUNCTION_MOST_ARGS];

    if (!check_values(c, 0, NULL))
        return NULL;
    all = c->value[0];
    if (c->n == 1 && op == TREE_NOT &&
        loose_not(c->env, all, c->tree->span, &all))
        return all;
    if (c->n == 1)
        return arith_unary(c->env, op, all, c->tree->span);
    for (uint32_t i = 1; all && i < c->n; i++) {
        if (!loose_bitwise(c->env, op, all, c->value[i], &all)) {
            loose_operands(c->env, op, all, c->value[i]);
            all = arith_binary(c->env, op, all, c->value[i], c->tree->span);
        }
        made[i] = all;
    }
    for (uint32_t i = 1; all && i < c->n; i++)
        made[i]->span = c->tree->span; /* one operation, opened whole */
    return all;
}

static struct code_expr *standard(struct calling *c)
{
    if (!gather(c, c->function))
        return NULL;
    switch (c->function->function) {
    case FUNCTION_SEL: return select_one(c);
    case FUNCTION_MUX: return multiplex(c);
    case FUNCTION_LIMIT:
    case FUNCTION_MIN:
    case FUNCTION_MAX: return ordered(c, false);
    case FUNCTION_ABS: return absolute(c);
    case FUNCTION_SHL:
    case FUNCTION_SHR:
    case FUNCTION_ROL:
    case FUNCTION_ROR: return shift(c);
    case FUNCTION_MOVE: return c->below->check(c->env, c->given[0], c->wanted);
    case FUNCTION_OPERATOR: return operators(c);
    default: return c->n > 2 ? ordered(c, true) : operators(c);
    }
}

static struct code_expr *conversion(struct calling *c,
                                    const struct conversion *conversion)
{
    static const struct standard_function one = {
        .parameters = "IN", .least = 1, .most = 1};

    if (!gather(c, &one))
        return NULL;
    c->value[0] = c->below->check(c->env, c->given[0], conversion->from);
    if (!c->value[0])
        return NULL;
    if (is_open(c) || type_abstracted(conversion->to))
        return opened(c);
    return convert_value(c->env, conversion, c->value[0], c->tree->span);
}

bool function_known(struct draft *draft, const struct name *name)
{
    struct conversion conversion;

    return standard_function(name->folded) ||
           convert_named(draft, name, &conversion);
}

struct code_expr *function_call(struct env *env,
                                const struct tree_expr *tree,
                                const struct type *wanted,
                                const struct function_below *below)
{
    const struct name *name = tree->path->parts.first->name;
    struct calling *c = ARENA_NEW(env->draft->arena, struct calling);
    struct conversion by_name;

    c->env = env;
    c->tree = tree;
    c->wanted = wanted;
    c->below = below;
    c->name = name->spelling;
    c->function = standard_function(name->folded);
    if (c->function)
        return standard(c);
    return convert_named(env->draft, name, &by_name)
               ? conversion(c, &by_name)
               : NULL;
}
