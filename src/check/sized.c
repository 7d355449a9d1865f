#include "check/sized.h"

#include <string.h>

#include "check/abstract.h"
#include "check/arith.h"
#include "check/resolve.h"
#include "check/target.h"
#include "check/typing.h"
#include "check/widening.h"

bool sized_call(const struct env *env, const struct tree_expr *tree)
{
    const struct name *name = tree->path->parts.first->name;

    return env->text == TEXT_CONTROL && !tree->path->parts.first->next &&
           !strcmp(name->folded, "sizeof") &&
           !scope_find(&env->draft->unit_scope, name);
}

/* Bytes; 0 where controllers differ. */
int64_t sized_bytes(const struct draft *draft, const struct type *type)
{
    const struct type *base = type_base(type);

    switch (type->kind) {
    case TYPE_BOOL: return 1;
    case TYPE_INTEGER:
    case TYPE_BITS: return type_width(base) / 8;
    case TYPE_REAL: return base == draft->types.real ? 4 : 8;
    case TYPE_ARRAY:
        return sized_bytes(draft, type->element) *
               (type->size / type->element->size);
    default: return 0;
    }
}

static struct code_expr *refuse(struct env *env, struct span span)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, "name one variable",
             "SIZEOF takes a variable");
    return NULL;
}

struct code_expr *sized_value(struct env *env, const struct tree_expr *tree)
{
    const struct tree_arg *arg = tree->args.first;
    struct found found;
    int64_t bytes;

    if (tree->args.n != 1 || arg->output || arg->value->kind != TREE_REF)
        return refuse(env, tree->span);
    if (!resolve_path(env, arg->value->path, NULL, &found))
        return NULL;
    if (found.kind == FOUND_SYMBOL)
        return refuse(env, tree->span);
    bytes = found.kind == FOUND_VARIABLE ? sized_bytes(env->draft, found.type)
                                         : 0;
    if (found.kind == FOUND_VARIABLE)
        target_note_read(env, found.variable, found.type, tree->span);
    if (bytes > 0)
        return arith_constant(env->draft, env->draft->types.literal, bytes,
                              tree->span);
    return abstract_any(
        env,
        (struct open_place){.kind = OPEN_VALUE,
                            .what = draft_words(env->draft, tree->span),
                            .type = env->draft->types.dint,
                            .span = tree->span},
        NULL, 0);
}

/* ---- bounds ---- */

bool sized_bound(const struct env *env, const struct tree_expr *tree)
{
    const struct name *name = tree->path->parts.first->name;

    return env->text == TEXT_CONTROL && !tree->path->parts.first->next &&
           (!strcmp(name->folded, "lower_bound") ||
            !strcmp(name->folded, "upper_bound")) &&
           !scope_find(&env->draft->unit_scope, name);
}

static struct code_expr *no_bound(struct env *env, struct span span)
{
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "write it as LOWER_BOUND (array, 1)",
             "this takes an array and the number of one of its dimensions");
    return NULL;
}

struct code_expr *sized_bound_value(struct env *env,
                                    const struct tree_expr *tree)
{
    const struct tree_arg *array = tree->args.first;
    const struct tree_arg *number = array ? array->next : NULL;
    bool low = tree->path->parts.first->name->folded[0] == 'l';
    const struct type_dim *dim;
    struct found found;
    int64_t n;

    if (tree->args.n != 2 || array->output || number->output ||
        array->value->kind != TREE_REF)
        return no_bound(env, tree->span);
    if (!resolve_path(env, array->value->path, NULL, &found) ||
        !typing_constant(env->draft, &env->unit->scope, number->value,
                         env->draft->types.dint, &n))
        return NULL;
    if (found.kind != FOUND_VARIABLE || found.type->kind != TYPE_ARRAY ||
        n < 1 || n > found.type->n_dims)
        return no_bound(env, tree->span);
    dim = &found.type->dims[n - 1];
    return arith_constant(env->draft, env->draft->types.dint,
                          low ? dim->low : dim->high, tree->span);
}

bool sized_takes(struct env *env, struct variant where, struct span span,
                 const struct symbol *symbol,
                 const struct type *type)
{
    if (widening_gives_bounds(env->draft, symbol->type, type, where))
        return true;
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "write the text once more for these bounds, or declare all "
             "arrays with the same",
             "'%s' of one instance is given arrays with different bounds, "
             "which is not read in this version",
             draft_spelling(env->draft, symbol->name, symbol->span));
    return false;
}

bool sized_waits(const struct env *env, const struct type *type)
{
    return type->kind == TYPE_ARRAY && type->dims[0].open.file &&
           env->draft->widening && env->draft->widening->again;
}
