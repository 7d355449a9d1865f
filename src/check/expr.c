#include "check/expr.h"

#include <ctype.h>
#include <string.h>

#include "check/abstract.h"
#include "check/advice/operators.h"
#include "check/alias.h"
#include "check/arith.h"
#include "check/enabled.h"
#include "check/execution.h"
#include "check/function.h"
#include "check/leaf.h"
#include "check/loose.h"
#include "check/meet.h"
#include "check/openfn.h"
#include "check/opentimer.h"
#include "check/resolve.h"
#include "check/rights.h"
#include "check/sized.h"
#include "check/standard.h"
#include "check/target.h"
#include "check/typing.h"
#include "check/unit.h"
#include "check/wide.h"
#include "check/wording.h"

static struct code_expr *refuse(struct env *env, struct span span,
                                const char *hint, const char *what)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return NULL;
}

/* ---- copies, the past ---- */

struct copying {
    struct draft *draft;
    void (*change)(void *context, struct code_expr *copy);
    void *context;
};

static struct code_expr *copy_of(const struct copying *copying,
                                 const struct code_expr *expr);

static const struct code_arg *copy_args(const struct copying *copying,
                                        const struct code_expr *expr)
{
    struct code_arg *args =
        arena_array(copying->draft->arena, expr->n_args, sizeof *args);

    for (uint32_t i = 0; i < expr->n_args; i++) {
        args[i] = expr->args[i];
        if (args[i].value)
            args[i].value = copy_of(copying, args[i].value);
    }
    return args;
}

static const struct code_index *
copy_steps(const struct copying *copying,
           const struct code_variable *variable)
{
    struct code_index *steps = arena_array(copying->draft->arena,
                                           variable->n_steps, sizeof *steps);

    for (uint32_t i = 0; i < variable->n_steps; i++) {
        steps[i] = variable->steps[i];
        steps[i].value = copy_of(copying, steps[i].value);
    }
    return steps;
}

static struct code_expr *copy_of(const struct copying *copying,
                                 const struct code_expr *expr)
{
    struct code_expr *copy =
        ARENA_NEW(copying->draft->arena, struct code_expr);

    *copy = *expr;
    copying->change(copying->context, copy);
    if (expr->variable.n_steps)
        copy->variable.steps = copy_steps(copying, &expr->variable);
    if (expr->left)
        copy->left = copy_of(copying, expr->left);
    if (expr->right)
        copy->right = copy_of(copying, expr->right);
    if (expr->n_args)
        copy->args = copy_args(copying, expr);
    return copy;
}

struct code_expr *expr_copy(struct draft *draft,
                            const struct code_expr *expr,
                            void (*change)(void *context,
                                           struct code_expr *copy),
                            void *context)
{
    return copy_of(&(struct copying){draft, change, context}, expr);
}

static void make_past(void *context, struct code_expr *copy)
{
    (void)context;
    if (copy->op >= CODE_VARIABLE && copy->op <= CODE_FAULT)
        copy->when = CODE_PREVIOUS;
}

struct code_expr *expr_past(struct draft *draft,
                            const struct code_expr *expr)
{
    return expr_copy(draft, expr, make_past, NULL);
}

static struct code_expr *change(struct draft *draft,
                                const struct code_expr *now,
                                const struct code_expr *before,
                                struct span span)
{
    const struct type *boolean = draft->types.boolean;
    struct code_expr *not = arith_new(draft, CODE_NOT, boolean, span);
    struct code_expr *both = arith_new(draft, CODE_AND, boolean, span);

    not ->left = before;
    both->left = now;
    both->right = not ;
    vec_push(&draft->edges, both);
    return both;
}

struct code_expr *expr_rising(struct draft *draft, struct code_expr *held,
                              struct span span)
{
    return change(draft, held, expr_past(draft, held), span);
}

static struct code_expr *edge(struct env *env, const struct tree_expr *tree)
{
    const char *word = tree->kind == TREE_RISING    ? "RISING"
                       : tree->kind == TREE_FALLING ? "FALLING"
                                                    : "PREVIOUS";
    struct code_expr *held, *not_now;

    if (!rights_edge(env, word, tree->span))
        return NULL;
    env->in_edge = true;
    env->past = tree->kind == TREE_PREVIOUS;
    held = env->past ? expr_check(env, tree->left, NULL)
                     : expr_condition(env, tree->left);
    env->in_edge = env->past = false;
    if (!held)
        return NULL;
    if (tree->kind == TREE_PREVIOUS)
        return expr_past(env->draft, held);
    if (tree->kind == TREE_RISING)
        return expr_rising(env->draft, held, tree->span);
    not_now = expr_past(env->draft, held);
    not_now = change(env->draft, not_now, held, tree->span);
    return not_now;
}

static struct code_expr *true_for(struct env *env,
                                  const struct tree_expr *tree)
{
    struct draft *draft = env->draft;
    struct code_expr *held, *expr;
    struct clock clock = {.span = tree->span};

    if (!rights_clock(env, tree->span))
        return NULL;
    held = expr_condition(env, tree->left);
    if (!held || !typing_constant(draft, NULL, tree->right,
                                  draft->types.time, &clock.limit.wanted))
        return NULL;
    if (clock.limit.wanted <= 0)
        return refuse(env, tree->right->span,
                      "write a duration such as T#500ms",
                      "TRUE FOR needs a time above zero");
    clock.held = held;
    clock.limit.sampled = tree->sampled;
    vec_push(&draft->clocks, clock);
    expr =
        arith_new(draft, CODE_TRUE_FOR, draft->types.boolean, tree->span);
    expr->left = held;
    expr->index = (uint32_t)(draft->clocks.n - 1);
    return expr;
}

/* ---- calls ---- */

/* The parameter of a standard block as the standard spells it. */
static const char *capitals(struct env *env, const struct name *name)
{
    char *words = arena_copy(env->draft->arena, name->folded, name->length);

    for (char *at = words; *at; at++)
        *at = (char)toupper((unsigned char)*at);
    return words;
}

/* Those that could have been meant. */
static const char *parameters_of(struct env *env, const struct unit *unit,
                                 bool outputs)
{
    const char *names = outputs ? "its outputs are" : "its inputs are";
    const struct symbol *symbol;
    size_t i = 0, n = 0;

    while ((symbol = unit_parameter(unit, i++)))
        if (!symbol->hidden &&
            (symbol->section == TREE_VAR_OUTPUT) == outputs && n++ < 12)
            names = arena_printf(
                env->draft->arena, "%s %s", names,
                unit->tree ? draft_spelling(env->draft, symbol->name,
                                            symbol->span)
                           : capitals(env, symbol->name));
    if (n == 0)
        return outputs ? "it has no outputs: leave this out"
                       : "it has no inputs: leave this out";
    return n <= 12 ? names
                   : arena_printf(env->draft->arena, "%s and others", names);
}

/* How many of its arguments stand there without a name. */
static size_t bare(const struct expr_call *call)
{
    size_t n = 0;

    for (const struct tree_arg *arg = call->args; arg; arg = arg->next)
        n += !arg->name;
    return n;
}

/* Without names: the inputs and VAR_IN_OUT, or, where there are as many,
 * all parameters, in the order of their declaration. */
static const struct symbol *at_place(struct env *env,
                                     const struct expr_call *call,
                                     const struct tree_arg *arg,
                                     size_t number)
{
    const struct symbol *symbol;
    size_t n = 0;
    bool all;

    while (unit_parameter(call->unit, n))
        n++;
    all = bare(call) == n;
    for (size_t i = 0; (symbol = unit_parameter(call->unit, i)); i++)
        if ((all || symbol->section != TREE_VAR_OUTPUT) && !number--)
            return symbol;
    refuse(env, arg->span,
           "give its inputs alone, or all it has in the order in which they "
           "are declared",
           "too many arguments");
    return NULL;
}

/* EN and ENO where they are not read (enabled.h). */
static bool no_enable(struct env *env, const struct unit *called,
                      const struct tree_arg *arg)
{
    if (env->text != TEXT_CONTROL || !enabled_word(arg->name->name) ||
        execution_declared(called))
        return false;
    refuse(env, arg->span,
           "assign the call to a variable in a line of its own",
           "EN and ENO are read in a call that is a line of its own, or all "
           "that stands behind :=");
    return true;
}

static const struct symbol *match(struct env *env,
                                  const struct expr_call *call,
                                  const struct tree_arg *arg, size_t number)
{
    const struct scope *scope = &call->unit->scope;
    const struct symbol *symbol, *near;

    if (!arg->name)
        return at_place(env, call, arg, number);
    symbol = standard_member(env->draft, call->unit, arg->name->name,
                             arg->name->span);
    if (symbol && !symbol->hidden &&
        (arg->output ? symbol->section == TREE_VAR_OUTPUT
                     : symbol->section == TREE_VAR_INPUT ||
                           symbol->section == TREE_VAR_IN_OUT))
        return symbol;
    if (no_enable(env, call->unit, arg))
        return NULL;
    near = scope_nearest(&scope, 1, arg->name->name);
    diag_add(env->draft->diags, DIAG_ERROR, arg->name->span,
             symbol ? "inputs are given with :=, outputs taken with =>"
             : near ? arena_printf(env->draft->arena, "write '%s'",
                                   draft_spelling(env->draft, near->name,
                                                  near->span))
                    : parameters_of(env, call->unit, arg->output),
             "'%s' has no %s '%s'", call->unit->name->spelling,
             arg->output ? "output" : "input",
             draft_spelling(env->draft, arg->name->name, arg->name->span));
    return NULL;
}

static bool is_whole(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
}

/* An output is taken as it is: nothing can be written around it. */
static bool output_fits(struct env *env, const struct tree_arg *arg,
                        const struct symbol *symbol, const struct type *type)
{
    const struct type *given = symbol->type;

    bool wide = type_unsigned(given) || type_unsigned(type);

    if (!type_elementary(given) || given->kind == TYPE_REAL ||
        meet_stores(given, type) ||
        (is_whole(given) && is_whole(type) && !wide &&
         env->text == TEXT_CONTROL))
        return true;
    diag_add(env->draft->diags, DIAG_ERROR, arg->span,
             arena_printf(env->draft->arena,
                          "take it into a variable of the type %s",
                          wording_type(env->draft, given)),
             "the output '%s' is %s, this variable is %s",
             draft_spelling(env->draft, symbol->name, symbol->span),
             wording_type(env->draft, given),
             wording_type(env->draft, type));
    return false;
}

/* What is not assigned is lent, if the callee only reads it (lent.h). */
static bool lend(struct env *env, const struct unit *unit,
                 const struct tree_arg *arg, const struct symbol *symbol,
                 struct found *found)
{
    bool good;

    env->lends = symbol->section == TREE_VAR_IN_OUT;
    good = target_resolve(env, arg->value->path, found);
    env->lends = false;
    if (good && env->text == TEXT_CONTROL && found->kept != KEPT_NOT)
        vec_push(&env->draft->lent,
                 ((struct lent){found->kept, found->symbol->name,
                                arg->value->path->span, unit,
                                symbol->variable.index}));
    return good;
}

/* The callee works on the variable itself. */
static bool not_alike(struct env *env, const struct tree_arg *arg,
                      const struct symbol *symbol, const struct type *type)
{
    const char *wanted = wording_type(env->draft, symbol->type);
    bool copies = type_elementary(type) && type_elementary(symbol->type);

    diag_add(env->draft->diags, DIAG_ERROR, arg->span,
             copies ? arena_printf(env->draft->arena,
                                   "declare it as %s, or copy it into a "
                                   "variable of that type before the call "
                                   "and back behind it",
                                   wanted)
                    : "declare both with the same type",
             "the VAR_IN_OUT '%s' is %s, this variable is %s: it takes a "
             "variable of exactly its own type",
             draft_spelling(env->draft, symbol->name, symbol->span), wanted,
             wording_type(env->draft, type));
    return false;
}

static bool take_target(struct env *env, const struct unit *unit,
                        const struct tree_arg *arg,
                        const struct symbol *symbol, struct code_arg *out)
{
    struct found found = {0};
    const struct type *type;
    bool instance = symbol->type->kind == TYPE_BLOCK;

    if (arg->value->kind != TREE_REF)
        return refuse(env, arg->span, "name a variable",
                      "only a variable can take this value");
    if (symbol->section == TREE_VAR_OUTPUT && symbol->type->remembers)
        return refuse(env, arg->span, "take its outputs one by one",
                      "an instance of a block is not copied");
    if (!(instance ? target_instance(env, arg->value->path, &found)
                   : lend(env, unit, arg, symbol, &found)) ||
        (instance && opentimer_lent(env, &found, arg->span)))
        return false;
    out->target = found.variable;
    out->target_type = type = found.type;
    if (symbol->section == TREE_VAR_OUTPUT)
        return output_fits(env, arg, symbol, type) &&
               arith_store_type(env, symbol->type, type, arg->span,
                                &out->site);
    if (env->text == TEXT_CONTROL)
        alias_hand(env, unit, out->parameter, &found.variable, arg->span);
    if (!sized_takes(env, arg->span, symbol, type))
        return false;
    return type_same(type, symbol->type) || sized_waits(env, symbol->type) ||
           not_alike(env, arg, symbol, type);
}

static bool take(struct env *env, const struct unit *unit,
                 const struct tree_arg *arg, const struct symbol *symbol,
                 struct code_arg *out)
{
    struct code_expr *value;

    out->parameter = symbol->variable.index;
    out->site = CODE_NO_SITE;
    out->kind = symbol->section == TREE_VAR_INPUT    ? ARG_INPUT
                : symbol->section == TREE_VAR_IN_OUT ? ARG_IN_OUT
                                                     : ARG_OUTPUT;
    if (!symbol->type)
        return false;
    if (out->kind != ARG_INPUT)
        return take_target(env, unit, arg, symbol, out);
    value = expr_value(env, arg->value, symbol->type);
    if (value)
        loose_store(env, value, symbol->type);
    out->value = value;
    out->target_type = symbol->type;
    if (value && !sized_takes(env, arg->span, symbol, value->type))
        return false;
    if (value && sized_waits(env, symbol->type))
        return true;
    return value && arith_store(env, value, symbol->type, &out->site);
}

static bool given(const struct code_arg *args, uint32_t count,
                  const struct symbol *symbol)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].parameter == symbol->variable.index &&
            (args[i].kind == ARG_IN_OUT) ==
                (symbol->section == TREE_VAR_IN_OUT))
            return true;
    return false;
}

/* Every VAR_IN_OUT is given, and every input of a call by position that does
 * not say itself with which value it begins. */
static bool complete(struct env *env, const struct expr_call *call,
                     bool positional)
{
    const struct symbol *symbol;

    for (size_t i = 0; (symbol = unit_parameter(call->unit, i)); i++) {
        bool needed = symbol->section == TREE_VAR_IN_OUT ||
                      (positional && symbol->section == TREE_VAR_INPUT &&
                       !(symbol->begins && env->text == TEXT_CONTROL));

        if (!needed || given(call->checked, call->n_checked, symbol))
            continue;
        diag_add(env->draft->diags, DIAG_ERROR, call->span,
                 "give it in this call", "'%s' is called without '%s'",
                 call->unit->name->spelling, symbol->name->spelling);
        return false;
    }
    return true;
}

/* Those without a name stand in front. */
static bool same_style(struct env *env, const struct tree_arg *first)
{
    const struct tree_ident *named = NULL;

    for (const struct tree_arg *arg = first; arg; arg = arg->next)
        if (!arg->name && named)
            return refuse(env, arg->span, "name all of them or none",
                          "an argument without a name behind one with a "
                          "name");
        else
            named = arg->name;
    return true;
}

bool expr_arguments(struct env *env, struct expr_call *call)
{
    uint32_t n = 0;
    struct code_arg *args;
    bool good = same_style(env, call->args);

    for (const struct tree_arg *arg = call->args; arg; arg = arg->next)
        n++;
    args = arena_array(env->draft->arena, n, sizeof *args);
    call->checked = args;
    call->n_checked = 0;
    for (const struct tree_arg *arg = call->args; good && arg;
         arg = arg->next) {
        const struct symbol *symbol =
            match(env, call, arg, call->n_checked);

        if (!symbol)
            return false;
        if (given(args, call->n_checked, symbol))
            return refuse(env, arg->span, "give it once",
                          "this argument is given twice");
        good = take(env, call->unit, arg, symbol, &args[call->n_checked++]);
    }
    return good && complete(env, call, call->args && !call->args->name);
}

/* A name of which the control text knows nothing at all. */
static bool is_nowhere(const struct env *env, const struct tree_path *path)
{
    const struct name *name = path->parts.first->name;

    return env->text == TEXT_CONTROL && !path->parts.first->next &&
           !scope_find(&env->unit->scope, name) &&
           !scope_find(&env->draft->globals, name) &&
           !scope_find(&env->draft->item_scope, name);
}

static struct unit *function_named(struct env *env,
                                   const struct tree_path *path)
{
    const struct path_part *first = path->parts.first;
    bool known;
    struct unit *unit =
        unit_named(env->draft, first->name, path->span, &known);
    struct found found;

    if (known && unit && unit->pou->kind == POU_FUNCTION && !first->next)
        return unit;
    if (known && !unit)
        return NULL;
    if (known)
        return (void *)refuse(env, path->span,
                              "declare an instance, call "
                              "it in a line of its own, and read its "
                              "outputs",
                              "only a function can be called here");
    if (is_nowhere(env, path)) {
        diag_add(env->draft->diags, DIAG_ERROR, path->span,
                 "add the text of the FUNCTION, or call one that is there",
                 "there is no function '%s'",
                 draft_spelling(env->draft, first->name, path->span));
        return NULL;
    }
    if (!resolve_path(env, path, NULL, &found))
        return NULL;
    return (void *)refuse(
        env, path->span,
        found.kind == FOUND_INSTANCE
            ? "call it in a line of its own, and read its "
              "outputs"
            : "take the parentheses away",
        "only a function can be called here");
}

/* A text of the name of a standard function stands for it. */
static bool is_standard(struct env *env, const struct tree_path *path)
{
    return !path->parts.first->next &&
           (path->standard || !scope_find(&env->draft->unit_scope,
                                          path->parts.first->name)) &&
           function_known(env->draft, path->parts.first->name);
}

/* Of a function that is declared without a result only the call is left. */
static const struct type *result_of(struct env *env, const struct unit *unit,
                                    bool drops, struct span span)
{
    const struct symbol *result = scope_find(&unit->scope, unit->name);

    if (unit->tree->result)
        return result ? result->type : NULL;
    if (!drops) {
        refuse(env, span, "declare its result: FUNCTION name : type",
               "this function has no result");
        return NULL;
    }
    return env->draft->types.boolean;
}

static struct code_expr *call_declared(struct env *env,
                                       const struct tree_expr *tree)
{
    struct unit *unit = function_named(env, tree->path);
    struct expr_call call = {
        .unit = unit, .args = tree->args.first, .span = tree->span};
    const struct type *result;
    struct code_expr *expr;
    bool drops = env->drops;

    env->drops = false;
    if (!unit || !expr_arguments(env, &call))
        return NULL;
    result = result_of(env, unit, drops, tree->span);
    if (!result)
        return NULL;
    if (env->unit)
        vec_push(&env->unit->calls, unit);
    for (uint32_t i = 0; env->text != TEXT_CONTROL && i < call.n_checked;
         i++)
        if (call.checked[i].kind != ARG_INPUT)
            return refuse(env, tree->span, "use the result alone",
                          "an expression of a review text changes nothing");
    if (env->text != TEXT_CONTROL)
        draft_note(&unit->review_call, tree->span);
    expr = arith_new(env->draft, CODE_CALL, result, tree->span);
    expr->pou = unit->pou;
    expr->args = call.checked;
    expr->n_args = call.n_checked;
    return expr;
}

bool expr_is_function(struct env *env, const struct tree_path *path)
{
    struct tree_expr call = {.kind = TREE_CALL, .path = (void *)path};

    return is_standard(env, path) || openfn_concerns(env, &call);
}

/* Operands of a function of the language, in order.  False when a mistake
 * was reported. */
static bool operands(struct env *env, const struct tree_expr *tree,
                     struct code_expr **args, unsigned *n)
{
    *n = 0;
    for (const struct tree_arg *arg = tree->args.first; arg;
         arg = arg->next) {
        if (arg->output || *n >= OPENFN_ARGS)
            return refuse(env, arg->span,
                          "give it inputs only, at most 16 of them",
                          "this function does not take this");
        args[*n] = expr_check(env, arg->value, NULL);
        if (!args[(*n)++])
            return false;
    }
    return true;
}

/* A function of the texts goes before one of the language. */
static struct code_expr *call_function(struct env *env,
                                       const struct tree_expr *tree)
{
    struct code_expr *args[OPENFN_ARGS], *expr;
    unsigned n;

    if (sized_call(env, tree))
        return sized_value(env, tree);
    if (sized_bound(env, tree))
        return sized_bound_value(env, tree);

    if (!openfn_concerns(env, tree))
        return call_declared(env, tree);
    if (!operands(env, tree, args, &n))
        return NULL;
    return openfn_call(env, tree, args, n, &expr) ? expr
                                                  : call_declared(env, tree);
}

/* ---- operators ---- */

/* s[i] beside a text is a text. */
static bool is_letter(const struct tree_expr *tree)
{
    return tree->left->kind == TREE_REF &&
           tree->left->path->parts.last->kind == PART_INDEX &&
           tree->right->kind == TREE_OPAQUE;
}

static struct code_expr *binary(struct env *env,
                                const struct tree_expr *tree,
                                const struct type *wanted)
{
    bool swap = resolve_may_be_item(env, tree->left) || is_letter(tree);
    struct code_expr *first, *second, *expr;

    if (tree->op < TREE_OR || tree->op > TREE_AND ||
        (wanted && wanted->kind != TYPE_BITS &&
         wanted->kind != TYPE_INTEGER))
        wanted = NULL;
    first = expr_check(env, swap ? tree->right : tree->left, wanted);
    second = expr_check(env, swap ? tree->left : tree->right,
                        first ? first->type : NULL);
    if (!first || !second)
        return NULL;
    operators_advise(env, tree, swap ? second : first);
    if (loose_bitwise(env, tree->op, swap ? second : first,
                      swap ? first : second, &expr))
        return expr;
    loose_operands(env, tree->op, first, second);
    expr = swap ? arith_binary(env, tree->op, second, first, tree->span)
                : arith_binary(env, tree->op, first, second, tree->span);
    target_note_masked(env, expr);
    if (expr && tree->span.file)
        expr->span = tree->span;
    return expr;
}

static struct code_expr *number(struct env *env,
                                const struct tree_expr *tree)
{
    const struct type *type = env->draft->types.literal;
    bool known = true;

    if (tree->type_name)
        type =
            typing_named(env->draft, tree->type_name, tree->span, &known);
    if (!known || (type && tree->type_name && type->kind != TYPE_INTEGER &&
                   type->kind != TYPE_BITS && type->kind != TYPE_BOOL))
        return refuse(env, tree->span,
                      "write an integer type, a bit string or BOOL "
                      "before the #",
                      "this is no typed number");
    if (type && !typing_holds(type, tree))
        return refuse(env, tree->span, "choose a wider type",
                      "the number does not fit its type");
    return type ? arith_constant(env->draft, type, tree->number, tree->span)
                : NULL;
}

/* Arguments of functions are expressions again. */
static const struct function_below below = {expr_check, expr_condition};

static struct code_expr *check_inner(struct env *env,
                                     const struct tree_expr *tree,
                                     const struct type *wanted)
{
    struct code_expr *inner;

    switch (tree->kind) {
    case TREE_INTEGER: return number(env, tree);
    case TREE_BOOL:
        return arith_constant(env->draft, env->draft->types.boolean,
                              tree->number, tree->span);
    case TREE_REAL:
    case TREE_OPAQUE: return abstract_literal(env, tree);
    case TREE_DURATION:
        return arith_constant(env->draft, env->draft->types.time,
                              tree->number, tree->span);
    case TREE_UNARY:
        inner = expr_check(env, tree->left, NULL);
        if (inner && tree->op == TREE_NOT &&
            loose_not(env, inner, tree->span, &inner))
            return inner;
        return inner ? arith_unary(env, tree->op, inner, tree->span) : NULL;
    case TREE_BINARY: return binary(env, tree, wanted);
    case TREE_CALL:
        return is_standard(env, tree->path)
                   ? function_call(env, tree, wanted, &below)
                   : call_function(env, tree);
    case TREE_PREVIOUS:
    case TREE_RISING:
    case TREE_FALLING: return edge(env, tree);
    case TREE_TRUE_FOR: return true_for(env, tree);
    default: return leaf_check(env, tree, wanted);
    }
}

struct code_expr *expr_value(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted)
{
    struct code_expr *expr;

    if (env->depth >= DRAFT_MAX_DEPTH)
        return refuse(env, tree->span,
                      "split it with a variable in between",
                      "this expression is nested too deeply");
    env->depth++;
    expr = wide_value(env, check_inner(env, tree, wanted));
    env->depth--;
    return expr;
}

struct code_expr *expr_check(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted)
{
    struct code_expr *expr = expr_value(env, tree, wanted);

    if (!expr || type_elementary(expr->type))
        return expr;
    return refuse(env, tree->span,
                  "name one of its elements or fields; compare such a "
                  "variable element by element",
                  "a whole array or structure is only assigned or handed "
                  "over");
}

struct code_expr *expr_condition(struct env *env,
                                 const struct tree_expr *tree)
{
    struct code_expr *expr =
        expr_check(env, tree, env->draft->types.boolean);

    if (expr)
        loose_truth(env, expr);
    if (!expr || expr->type->kind == TYPE_BOOL)
        return expr;
    diag_add(env->draft->diags, DIAG_ERROR, tree->span,
             env->in_edge ? "compare it with a value, in brackets: RISING "
                            "(position = Open)"
                          : "compare it with a value",
             "a condition (BOOL) is needed here, this is %s",
             type_words(expr->type));
    return NULL;
}
