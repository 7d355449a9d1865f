#include "check/written.h"

#include "check/wording.h"

const struct type *written_unknown(struct draft *draft,
                                   const struct tree_type *tree)
{
    const struct scope *scopes[2] = {&draft->type_scope,
                                     &draft->unit_scope};
    const struct symbol *near = scope_nearest(scopes, 2, tree->name);

    diag_add(
        draft->diags, DIAG_ERROR, tree->span,
        near ? arena_printf(draft->arena, "write '%s', or declare the type",
                            draft_spelling(draft, near->name, near->span))
             : "declare it in a TYPE section, or add the text of the "
               "function block",
        "there is no type or function block '%s'", tree->name->spelling);
    return NULL;
}

bool written_length(struct draft *draft, const struct type *type,
                    const struct tree_type *tree)
{
    if (type_fits(type, draft->types.text))
        return true;
    diag_add(draft->diags, DIAG_ERROR, tree->length,
             "leave it out; a range is written (0 .. 80)",
             "only a STRING has a length, this is %s", type_words(type));
    return false;
}

const struct type *written_subrange(struct draft *draft,
                                    const struct type *base, int64_t low,
                                    int64_t high)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);

    *type = *type_base(base);
    type->name = NULL;
    type->base = type_base(base);
    type->low = type->initial = low;
    type->high = high;
    return type;
}

struct type *written_named(struct draft *draft, const struct type *target,
                           const struct name *name)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);

    *type = *target;
    type->name = name;
    type->base = type_base(target);
    return type;
}

void written_items(struct draft *draft,
                   const struct tree_enum_item *items)
{
    struct scope seen = {0};

    for (; items; items = items->next)
        scope_add(&seen, draft->arena, draft->diags,
                  &(struct symbol){.name = items->name,
                                   .kind = SYMBOL_ITEM,
                                   .span = items->span});
    scope_release(&seen);
}

bool written_compute(enum tree_op op, int64_t left, int64_t right,
                     int64_t *value)
{
    switch (op) {
    case TREE_ADD: return !__builtin_add_overflow(left, right, value);
    case TREE_SUB: return !__builtin_sub_overflow(left, right, value);
    case TREE_MUL: return !__builtin_mul_overflow(left, right, value);
    case TREE_DIV:
    case TREE_MOD:
        if (!right || (right == -1 && left == INT64_MIN))
            return false;
        *value = op == TREE_DIV ? left / right : left % right;
        return true;
    default: return false;
    }
}
