#include "check/enabled.h"

#include <string.h>

bool enabled_word(const struct name *name)
{
    return strcmp(name->folded, "en") == 0 ||
           strcmp(name->folded, "eno") == 0;
}

static bool is_one(const struct tree_arg *arg)
{
    return arg->name && enabled_word(arg->name->name);
}

static bool refuse(struct env *env, struct span span, const char *hint,
                   const char *what)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

/* ---- statements that say what ENO says ---- */

static const struct tree_stmt *says(struct env *env,
                                    const struct tree_arg *arg, bool value)
{
    struct tree_stmt *stmt = ARENA_NEW(env->draft->arena, struct tree_stmt);
    struct tree_expr *known = ARENA_NEW(env->draft->arena, struct tree_expr);

    *known = (struct tree_expr){.kind = TREE_BOOL,
                                .span = arg->span,
                                .number = value,
                                .height = 1};
    *stmt = (struct tree_stmt){.kind = TREE_ASSIGN,
                               .span = arg->span,
                               .target = arg->value->path,
                               .value = known};
    return stmt;
}

/* ---- the call without them ---- */

static bool set_aside(struct env *env, const struct tree_arg *arg,
                      struct enabled *out)
{
    bool en = strcmp(arg->name->name->folded, "en") == 0;

    if (en == arg->output)
        return refuse(env, arg->span, "write EN := c and ENO => ok",
                      "EN is given with :=, ENO is taken with =>");
    if (en ? out->en != NULL : out->yes != NULL)
        return refuse(env, arg->span, "give it once",
                      "this argument is given twice");
    if (en) {
        out->en = arg->value;
        return true;
    }
    if (arg->value->kind != TREE_REF)
        return refuse(env, arg->span, "name a variable",
                      "only a variable can take this value");
    out->yes = says(env, arg, true);
    out->no = says(env, arg, false);
    return true;
}

static const struct tree_arg *arguments(const struct tree_stmt *tree)
{
    if (tree->kind == TREE_INVOKE)
        return tree->args.first;
    return tree->kind == TREE_ASSIGN && tree->value->kind == TREE_CALL
               ? tree->value->args.first : NULL;
}

bool enabled_asks(const struct tree_stmt *tree)
{
    const struct tree_arg *arg = arguments(tree);

    while (arg && !is_one(arg))
        arg = arg->next;
    return arg != NULL;
}

/* A copy of the statement whose arguments are these. */
static struct tree_stmt *with(struct env *env, const struct tree_stmt *tree,
                              const struct tree_stmt *args)
{
    struct tree_stmt *stmt = ARENA_NEW(env->draft->arena, struct tree_stmt);
    struct tree_expr *call;

    *stmt = *tree;
    stmt->next = NULL;
    if (tree->kind == TREE_INVOKE) {
        stmt->args.first = args->args.first;
        stmt->args.last = args->args.last;
        stmt->args.n = args->args.n;
        return stmt;
    }
    call = ARENA_NEW(env->draft->arena, struct tree_expr);
    *call = *tree->value;
    call->args.first = args->args.first;
    call->args.last = args->args.last;
    call->args.n = args->args.n;
    stmt->value = call;
    return stmt;
}

static void keep(struct env *env, const struct tree_arg *arg,
                 struct tree_stmt *args)
{
    struct tree_arg *copy = ARENA_NEW(env->draft->arena, struct tree_arg);

    *copy = *arg;
    copy->next = NULL;
    if (args->args.last)
        args->args.last->next = copy;
    else
        args->args.first = copy;
    args->args.last = copy;
    args->args.n++;
}

bool enabled_split(struct env *env, const struct tree_stmt *tree,
                   struct enabled *out, bool *good)
{
    const struct tree_arg *first = arguments(tree), *arg = first;
    struct tree_stmt others = {0};

    *good = true;
    *out = (struct enabled){0};
    while (arg && !is_one(arg))
        arg = arg->next;
    if (!arg || env->text != TEXT_CONTROL)
        return false;
    for (arg = first; arg; arg = arg->next)
        if (!is_one(arg))
            keep(env, arg, &others);
        else if (!set_aside(env, arg, out))
            return *good = false;
    out->call = with(env, tree, &others);
    return true;
}

bool enabled_declared(struct env *env, const struct code_pou *pou,
                      struct span span)
{
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].name && enabled_word(pou->vars[i].name)) {
            refuse(env, span, "give the variable another name in both texts",
                   "what is called declares EN or ENO itself: whether it "
                   "runs when EN is FALSE differs from controller to "
                   "controller");
            diag_also(env->draft->diags, pou->vars[i].span,
                      "declared here");
            return true;
        }
    return false;
}
