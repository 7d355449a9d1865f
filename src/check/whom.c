#include "check/whom.h"

#include "check/leaf.h"
#include "check/resolve.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const struct name *name, const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             name->spelling, what);
    return false;
}

/* The control that a symbol is, or is a contact of; else MODEL_NONE. */
static uint32_t control_of(const struct draft *draft,
                           const struct symbol *symbol)
{
    if (symbol->kind == SYMBOL_CONTROL)
        return symbol->index;
    if (symbol->kind == SYMBOL_CONTACT)
        return draft->contacts.at[symbol->index].control;
    return MODEL_NONE;
}

static bool find_control(struct draft *draft, const struct tree_path *path,
                         const struct symbol *symbol, struct by_whom *whom)
{
    const struct name *name = path->parts.first->name;
    uint32_t control = control_of(draft, symbol);

    if (control == MODEL_NONE)
        return refuse(draft, path->span,
                      "name a control, or an input that no control "
                      "describes",
                      name, "is nothing that anybody operates");
    if (draft->controls.at[control].name != name)
        return refuse(draft, path->span,
                      arena_printf(draft->arena, "write BY %s",
                                   draft->controls.at[control]
                                       .name->spelling),
                      name, "is one contact of a control");
    *whom = (struct by_whom){CHOICE_OPERATOR, control};
    return true;
}

/* A free input: nothing of ours and no text gives it its value. */
static bool find_input(struct draft *draft, const struct tree_path *path,
                       struct by_whom *whom)
{
    struct found found;
    uint32_t slot;

    if (!resolve_control(draft, path, &found))
        return false;
    slot = found.variable.index;
    if (found_single(&found) && draft->uses.at[slot].shared)
        return refuse(draft, path->span,
                      "leave it out: what others write is never on the "
                      "side of the operators",
                      found.symbol->name, "is SHARED");
    if (!found_single(&found) || found_inside(draft, &found) ||
        !leaf_is_input(draft, slot) ||
        draft->slots.at[slot].driver != DRIVER_NONE ||
        draft->uses.at[slot].wired.file)
        return refuse(draft, path->span,
                      "name a control of CONTROLS, or an input that "
                      "nothing else drives",
                      found.symbol->name, "is no free input");
    *whom = (struct by_whom){CHOICE_INPUT, slot};
    return true;
}

static bool find(struct draft *draft, const struct tree_path *path,
                 struct by_whom *whom)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol =
        first->next ? NULL : scope_find(&draft->review, first->name);

    return symbol ? find_control(draft, path, symbol, whom)
                  : find_input(draft, path, whom);
}

bool whom_check(struct draft *draft, const struct tree_requirement *tree,
                struct requirement *row)
{
    struct by_whom *all = arena_array(draft->arena, tree->by.n, sizeof *all);
    bool good = true;

    for (const struct tree_expr *at = tree->by.first; at; at = at->next)
        if (!find(draft, at->path, &all[row->n_by++]))
            good = false;
    row->by = all;
    return good;
}
