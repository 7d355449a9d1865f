#include "check/openfn.h"

#include <string.h>

#include "check/abstract.h"
#include "check/rounding.h"
#include "check/typing.h"
#include "check/written.h"

enum { MOST_ARGS = OPENFN_ARGS };

/* What a function gives. */
enum gives {
    GIVES_REAL, GIVES_TEXT, GIVES_LENGTH, GIVES_INT, GIVES_DINT,
    GIVES_TIME, GIVES_STAMP,
    GIVES_FIRST, /* the type of the first operand */
    GIVES_SAME
};

struct function {
    const char *name; /* folded */
    enum gives gives;
    unsigned least, most; /* operands */
    bool always;          /* else only where an operand is abstracted */
};

static const struct function functions[] = {
    {"sqrt", GIVES_REAL, 1, 1, true},   {"ln", GIVES_REAL, 1, 1, true},
    {"log", GIVES_REAL, 1, 1, true},    {"exp", GIVES_REAL, 1, 1, true},
    {"sin", GIVES_REAL, 1, 1, true},    {"cos", GIVES_REAL, 1, 1, true},
    {"tan", GIVES_REAL, 1, 1, true},    {"asin", GIVES_REAL, 1, 1, true},
    {"acos", GIVES_REAL, 1, 1, true},   {"atan", GIVES_REAL, 1, 1, true},
    {"atan2", GIVES_REAL, 2, 2, true},  {"expt", GIVES_REAL, 2, 2, true},
    {"trunc", GIVES_DINT, 1, 1, true},  {"len", GIVES_LENGTH, 1, 1, true},
    {"find", GIVES_LENGTH, 2, 2, true}, {"left", GIVES_TEXT, 2, 2, true},
    {"right", GIVES_TEXT, 2, 2, true},  {"mid", GIVES_TEXT, 3, 3, true},
    {"concat", GIVES_TEXT, 2, MOST_ARGS, true},
    {"insert", GIVES_TEXT, 3, 3, true}, {"delete", GIVES_TEXT, 3, 3, true},
    {"replace", GIVES_TEXT, 4, 4, true},
    {"floor", GIVES_REAL, 1, 1, true},  {"ceil", GIVES_REAL, 1, 1, true},
    {"round", GIVES_REAL, 1, 1, true},
    {"concat_date_tod", GIVES_STAMP, 2, 2, true},
    {"time", GIVES_TIME, 0, 0, true},
    {"add_tod_time", GIVES_FIRST, 2, 2, true},
    {"add_dt_time", GIVES_FIRST, 2, 2, true},
    {"sub_tod_time", GIVES_FIRST, 2, 2, true},
    {"sub_dt_time", GIVES_FIRST, 2, 2, true},
    {"sub_date_date", GIVES_TIME, 2, 2, true},
    {"sub_tod_tod", GIVES_TIME, 2, 2, true},
    {"sub_dt_dt", GIVES_TIME, 2, 2, true},
    {"day_of_week", GIVES_INT, 1, 1, true},
    {"trunc_int", GIVES_INT, 1, 1, true},
    {"trunc_dint", GIVES_DINT, 1, 1, true},
    {"real_trunc_int", GIVES_INT, 1, 1, true},
    {"real_trunc_dint", GIVES_DINT, 1, 1, true},
    {"frac", GIVES_REAL, 1, 1, true},   {"sqr", GIVES_REAL, 1, 1, true},
    {"abs", GIVES_SAME, 1, 1, false},   {"move", GIVES_SAME, 1, 1, false},
    {"min", GIVES_SAME, 2, MOST_ARGS, false},
    {"max", GIVES_SAME, 2, MOST_ARGS, false},
    {"limit", GIVES_SAME, 3, 3, false}, {"sel", GIVES_SAME, 3, 3, false},
    {"mux", GIVES_SAME, 3, MOST_ARGS, false},
};

struct call {
    struct env *env;
    const struct tree_expr *tree;
    const struct name *name;
    struct code_expr *const *args;
    unsigned n;
    bool abstracted; /* one of the operands is */
};

static const struct function *function_of(const struct name *name)
{
    for (size_t i = 0; i < sizeof functions / sizeof *functions; i++)
        if (!strcmp(functions[i].name, name->folded))
            return &functions[i];
    return NULL;
}

static bool refuse(const struct call *call, const char *hint,
                   const char *what)
{
    diag_add(call->env->draft->diags, DIAG_ERROR, call->tree->span, hint,
             "'%s' %s", call->name->spelling, what);
    return false;
}

/* ---- types ---- */

/* The longer of the REALs among the operands; REAL where there is none. */
static const struct type *real_of(const struct call *call)
{
    const struct draft *draft = call->env->draft;

    for (unsigned i = 0; i < call->n; i++) {
        const struct type *type = call->args[i]->type;

        if (type->kind == TYPE_REAL && type != draft->types.real_literal &&
            type_base(type) != draft->types.real)
            return draft->types.lreal;
    }
    return draft->types.real;
}

/* That of the last operand: of SEL and MUX the first is a selector. */
static const struct type *same_of(const struct call *call)
{
    const struct type *type = type_base(call->args[call->n - 1]->type);

    return type->kind == TYPE_OPAQUE ? type : real_of(call);
}

static const struct type *gives(const struct call *call, enum gives what)
{
    struct draft *draft = call->env->draft;

    switch (what) {
    case GIVES_LENGTH: /* never below 0 */
        return written_subrange(draft, draft->types.integer, 0,
                                draft->types.integer->high);
    case GIVES_REAL: return real_of(call);
    case GIVES_TEXT: return draft->types.text;
    case GIVES_INT: return draft->types.integer;
    case GIVES_TIME: return draft->types.time;
    case GIVES_STAMP: return draft->types.date_and_time;
    case GIVES_DINT: return draft->types.dint;
    case GIVES_FIRST: return type_base(call->args[0]->type);
    default: return same_of(call);
    }
}

/* ---- conversions ---- */

/* Decimal digits in four bits each. */
static bool is_decimal(const struct name *name)
{
    return !strncmp(name->folded, "bcd_to_", 7) ||
           strstr(name->folded, "_bcd_to_") || strstr(name->folded, "_to_bcd");
}

/* What holds the digits of INT_TO_BCD and the like. */
static const char *digits_of(const char *from)
{
    bool sign = *from != 'u';

    switch (from[!sign]) {
    case 's': return "byte";
    case 'd': return "dword";
    case 'l': return "lword";
    default: return "word";
    }
}

/* The type behind _TO_ (or TO_), NULL for none. */
static const struct type *converted(const struct call *call)
{
    const char *at = call->name->folded, *mark = strstr(at, "_to_");
    struct draft *draft = call->env->draft;
    const struct name *target;
    bool known;

    if (mark && !strcmp(mark, "_to_bcd"))
        at = digits_of(at);
    else if (mark && !strncmp(mark, "_to_bcd_", 8))
        at = mark + 8;
    else if (mark)
        at = mark + 4;
    else if (!strncmp(at, "to_", 3))
        at += 3;
    else
        return NULL;
    target = names_of(draft->names, at);
    if (!scope_find(&draft->type_scope, target))
        return NULL;
    return typing_named(draft, target, call->tree->span, &known);
}

static struct code_expr *open_result(const struct call *call,
                                     const struct type *type)
{
    return abstract_any(call->env,
                        (struct open_place){.kind = OPEN_VALUE,
                                            .what = call->name->spelling,
                                            .type = type,
                                            .span = call->tree->span},
                        call->args, call->n);
}

static bool is_plain(const struct code_expr *value)
{
    return value->type->kind == TYPE_INTEGER ||
           value->type->kind == TYPE_REAL;
}

static struct code_expr *rounded(const struct call *call,
                                 const struct type *type, bool cut)
{
    const struct draft *draft = call->env->draft;
    struct code_expr *value = call->args[0];
    bool longer = strncmp(call->name->folded, "real_", 5) != 0;

    if (value->type == draft->types.real_literal &&
        !abstract_store(call->env, value, longer ? draft->types.lreal
                                                 : draft->types.real))
        return NULL;
    value->span = call->tree->span;
    return rounding_make(call->env, value, type, cut, call->name->spelling);
}

/* A REAL as LREAL and a number of the text stay what they are. */
static struct code_expr *convert(const struct call *call,
                                 const struct type *type)
{
    struct code_expr *value = call->args[0];
    bool longer = value->type->kind == TYPE_REAL &&
                  !type_base(type)->narrow;

    if (type->kind == TYPE_REAL &&
        (longer || (value->op == CODE_CONST && is_plain(value)) ||
         type_fits(value->type, type))) {
        if (!abstract_store(call->env, value, type))
            return NULL;
        value->type = type_base(type);
        value->span = call->tree->span;
        return value;
    }
    if (value->type->kind == TYPE_REAL && type->kind == TYPE_INTEGER)
        return rounded(call, type_base(type), false);
    return open_result(call, type_base(type));
}

/* Is the call a conversion that this file is for? */
static bool is_conversion(const struct call *call, const struct type *type)
{
    return type && call->n == 1 &&
           (call->abstracted || type_abstracted(type) ||
            is_decimal(call->name));
}

static struct call call_of(struct env *env, const struct tree_expr *tree)
{
    return (struct call){
        .env = env, .tree = tree, .name = tree->path->parts.first->name};
}

bool openfn_concerns(struct env *env, const struct tree_expr *tree)
{
    struct call call = call_of(env, tree);

    return !tree->path->parts.first->next &&
           !scope_find(&env->draft->unit_scope, call.name) &&
           (function_of(call.name) || converted(&call));
}

bool openfn_call(struct env *env, const struct tree_expr *tree,
                 struct code_expr *const *args, unsigned n,
                 struct code_expr **out)
{
    struct call call = call_of(env, tree);
    const struct function *function = function_of(call.name);
    const struct type *type = converted(&call);

    *out = NULL;
    call.args = args;
    call.n = n;
    for (unsigned i = 0; i < n; i++)
        call.abstracted |= type_abstracted(args[i]->type);
    if (!function && is_conversion(&call, type)) {
        *out = convert(&call, type);
        return true;
    }
    if (!function || (!function->always && !call.abstracted))
        return false;
    if (function->gives == GIVES_DINT && n == 1 &&
        args[0]->type->kind == TYPE_REAL)
        *out = rounded(&call, env->draft->types.dint, true); /* TRUNC */
    else if (n < function->least || n > function->most)
        refuse(&call, "see how many inputs the function has",
               "is called with the wrong number of inputs");
    else
        *out = open_result(&call, gives(&call, function->gives));
    return true;
}
