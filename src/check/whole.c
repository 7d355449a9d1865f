#include "check/whole.h"

#include <string.h>

#include "base/arena.h"
#include "check/target.h"

static bool is_called(const struct env *env, const struct tree_stmt *tree)
{
    const struct path_part *first;
    const char *name;

    if (tree->kind != TREE_ASSIGN || tree->value->kind != TREE_CALL)
        return false;
    first = tree->value->path->parts.first;
    name = first->name->folded;
    return !first->next && !scope_find(&env->draft->unit_scope, first->name) &&
           (strcmp(name, "move") == 0 || strcmp(name, "sel") == 0 ||
            strcmp(name, "mux") == 0);
}

/* Only one of the values is read: none may be a mistake of the others. */
static bool is_plain(const struct tree_expr *value)
{
    if (value->kind != TREE_REF)
        return false;
    for (const struct path_part *part = value->path->parts.first; part;
         part = part->next)
        for (const struct tree_expr *index = part->indices.first; index;
             index = index->next)
            if (index->kind != TREE_INTEGER)
                return false;
    return true;
}

static bool is_selector(const struct tree_arg *arg, uint32_t place)
{
    return arg->name ? !strcmp(arg->name->name->folded, "g") ||
                           !strcmp(arg->name->name->folded, "k")
                     : place == 0;
}

/* The number behind IN, or where it stands. */
static uint32_t number_of(const struct tree_arg *arg, uint32_t place)
{
    const char *name = arg->name ? arg->name->name->folded : "";

    return name[0] == 'i' && name[1] == 'n' && name[2] >= '0' &&
                   name[2] <= '9' && !name[3]
               ? (uint32_t)(name[2] - '0') : place - 1;
}

static struct tree_stmt *choice(struct env *env,
                                const struct tree_stmt *tree,
                                struct tree_expr *value)
{
    struct tree_stmt *stmt = ARENA_NEW(env->draft->arena, struct tree_stmt);

    *stmt = *tree;
    stmt->next = NULL;
    stmt->value = value;
    return stmt;
}

/* The same argument with its number as its value. */
static struct tree_arg *numbered(struct env *env, const struct tree_arg *arg,
                                 uint32_t number)
{
    struct tree_arg *copy = ARENA_NEW(env->draft->arena, struct tree_arg);

    *copy = *arg;
    copy->next = NULL;
    copy->value = ARENA_NEW(env->draft->arena, struct tree_expr);
    copy->value->kind = TREE_INTEGER;
    copy->value->span = arg->value->span;
    copy->value->number = number;
    copy->value->height = 1;
    return copy;
}

static struct tree_arg *selector(struct env *env, const struct tree_arg *arg)
{
    struct tree_arg *copy = ARENA_NEW(env->draft->arena, struct tree_arg);

    *copy = *arg;
    copy->next = NULL;
    return copy;
}

static bool refuse(struct env *env, struct span span)
{
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "write IF or CASE with an assignment in each branch",
             "SEL and MUX choose among variables where a whole array or "
             "structure is assigned");
    return false;
}

static bool split(struct env *env, const struct tree_stmt *tree,
                  struct whole *whole)
{
    struct tree_expr *call = ARENA_NEW(env->draft->arena, struct tree_expr);
    uint32_t place = 0;

    *call = *tree->value;
    memset(&call->args, 0, sizeof call->args);
    for (struct tree_arg *arg = tree->value->args.first; arg;
         arg = arg->next, place++) {
        uint32_t number = number_of(arg, place);
        struct tree_arg *copy = is_selector(arg, place)
                                    ? selector(env, arg)
                                    : numbered(env, arg, number);

        if (call->args.last)
            call->args.last->next = copy;
        else
            call->args.first = copy;
        call->args.last = copy;
        call->args.n++;
        if (is_selector(arg, place))
            continue;
        if (arg->output || !is_plain(arg->value) ||
            number >= FUNCTION_MOST_ARGS || whole->choices[number])
            return refuse(env, arg->span);
        whole->choices[number] = choice(env, tree, arg->value);
        whole->n++;
    }
    for (uint32_t i = 0; i < whole->n; i++)
        if (!whole->choices[i])
            return refuse(env, tree->value->span);
    whole->selector = call;
    return true;
}

bool whole_split(struct env *env, const struct tree_stmt *tree,
                 struct whole *whole, bool *good)
{
    struct found found = {0};

    *good = true;
    if (env->text != TEXT_CONTROL || !is_called(env, tree))
        return false;
    if (!target_bit(env, tree->target, &found) || found.bit || found.letter ||
        type_elementary(found.type))
        return false; /* said when it is assigned */
    memset(whole, 0, sizeof *whole);
    if (tree->value->path->parts.first->name->folded[1] != 'o')
        return *good = split(env, tree, whole);
    if (tree->value->args.n != 1 || tree->value->args.first->output)
        return *good = refuse(env, tree->value->span);
    whole->choices[0] = choice(env, tree, tree->value->args.first->value);
    whole->n = 1;
    return true;
}
