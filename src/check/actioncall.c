#include "check/actioncall.h"

#include "lang/chain.h"
#include "check/target.h"
#include "check/unit.h"

bool actioncall_holds(const struct env *env, const struct name *name)
{
    const struct symbol *symbol = scope_find(&env->unit->scope, name);

    if (!symbol)
        symbol = scope_find(&env->draft->globals, name);
    return symbol && symbol->type && symbol->type->remembers;
}

/* it.Name() where some block has an ACTION of that name. */
bool actioncall_is(const struct env *env, const struct tree_stmt *tree)
{
    const struct path_part *last = tree->target->parts.last;
    const struct tree_pou *pou = env->draft->run->pous.first;

    if (env->text != TEXT_CONTROL || tree->target->parts.n < 2 ||
        last->kind != PART_NAME ||
        !actioncall_holds(env, tree->target->parts.first->name))
        return false;
    for (; pou; pou = pou->next)
        for (const struct tree_action *action = pou->actions.first; action;
             action = action->next)
            if (action->name->name == last->name)
                return true;
    return false;
}

/* The path but for its last part. */
static struct tree_path *owner_of(struct env *env,
                                  const struct tree_path *path)
{
    struct tree_path *owner = ARENA_NEW(env->draft->arena, struct tree_path);

    *owner = *path;
    owner->parts.first = owner->parts.last = NULL;
    for (const struct path_part *part = path->parts.first; part->next;
         part = part->next) {
        struct path_part *copy =
            ARENA_NEW(env->draft->arena, struct path_part);

        *copy = *part;
        copy->next = NULL;
        CHAIN_APPEND(&owner->parts, copy);
    }
    owner->parts.n = path->parts.n - 1;
    return owner;
}

static bool has_place(const struct unit *unit)
{
    for (size_t i = 0; i < unit->scope.all.n; i++)
        if (unit->scope.all.at[i]->at_input ||
            unit->scope.all.at[i]->at_output)
            return true;
    return false;
}

/* The body is that of the ACTION, the frame that of the instance. */
bool actioncall_check(struct env *env, const struct tree_stmt *tree,
                      struct code_stmt *out)
{
    struct tree_path *owner = owner_of(env, tree->target);
    const struct name *name = tree->target->parts.last->name;
    struct unit *unit;
    struct found found;

    if (!target_instance(env, owner, &found))
        return false;
    unit = unit_action(env->draft, found.unit, name);
    if (!unit || tree->args.n || unit->pou->n_in_out || has_place(unit)) {
        diag_add(env->draft->diags, DIAG_ERROR, tree->span,
                 !unit ? "call one of its ACTIONs"
                 : tree->args.n ? "write its name and () alone"
                                : "call the ACTION from within its block",
                 !unit ? "the block has no ACTION '%s'"
                 : tree->args.n
                     ? "the ACTION '%s' takes no values, and gives none"
                     : "the ACTION '%s' of a block with VAR_IN_OUT or places "
                       "is not called from outside in this version",
                 draft_spelling(env->draft, name,
                                tree->target->parts.last->span));
        return false;
    }
    out->kind = CODE_INVOKE;
    out->pou = unit->pou;
    out->instance = found.variable;
    return true;
}
