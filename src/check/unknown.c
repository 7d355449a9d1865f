#include "check/unknown.h"

#include "check/alias.h"
#include "check/anything.h"
#include "check/target.h"

static void refuse(struct draft *draft, const struct tree_ident *name,
                   const char *hint, const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, name->span, hint, "'%s' %s",
             name->name->spelling, what);
}

static void mark(struct draft *draft, const struct tree_unknown *tree)
{
    const struct name *name = tree->name->name;
    struct symbol *symbol = scope_find(&draft->unit_scope, name);

    if (!symbol || !symbol->unit->tree) {
        refuse(draft, tree->name,
               "add a text with its parameters to the control texts: "
               "FUNCTION_BLOCK name, its VAR_INPUT and VAR_OUTPUT, "
               "END_FUNCTION_BLOCK",
               "has no parameters in any text");
    } else if (symbol->unit->pou->kind == POU_PROGRAM) {
        refuse(draft, tree->name, "leave the program out of the texts",
               "is a program: only blocks and functions can be UNKNOWN");
    } else if (symbol->unit->unknown) {
        refuse(draft, tree->name, "keep one of the two lines",
               "is UNKNOWN already");
    } else {
        symbol->unit->unknown = tree;
        symbol->unit->pou->unknown = true;
        vec_push(&draft->unknown,
                 ((struct unknown){name, tree->reason.because.at,
                                   tree->reason.confirmed_by.at}));
    }
}

void unknown_mark(struct draft *draft)
{
    for (const struct tree_unknown *tree =
             draft->run->review.unknown.first;
         tree; tree = tree->next)
        mark(draft, tree);
}

bool unknown_skips(const struct unit *unit, enum tree_section section)
{
    return unit->unknown &&
           (section == TREE_VAR || section == TREE_VAR_TEMP);
}

static bool is_changed(const struct unit *unit, const struct symbol *symbol)
{
    if (symbol->kind != SYMBOL_VARIABLE || !symbol->type || symbol->constant)
        return false;
    return symbol->name == unit->name ||
           symbol->section == TREE_VAR_OUTPUT ||
           symbol->section == TREE_VAR_IN_OUT ||
           symbol->section == TREE_VAR_EXTERNAL;
}

/* A global that an unknown text may write is written. */
static void note_global(struct draft *draft, struct unit *unit,
                        const struct symbol *symbol)
{
    if (symbol->section != TREE_VAR_EXTERNAL)
        return;
    unit->reads_globals = true;
    for (uint32_t k = 0; k < symbol->type->size; k++)
        draft_note(&draft->uses.at[symbol->variable.index + k].written,
                   symbol->span);
}

void unknown_body(struct draft *draft, struct unit *unit)
{
    struct env env = {.draft = draft,
                      .text = TEXT_CONTROL,
                      .unit = unit,
                      .frame = MODEL_NONE};
    struct anything any = {.env = &env, .unknown = unit->pou};

    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (!is_changed(unit, symbol))
            continue;
        note_global(draft, unit, symbol);
        if (symbol->section == TREE_VAR_IN_OUT)
            alias_touch(&env, &symbol->variable, symbol->type->size, true);
        any.symbol = symbol;
        anything_give(&any, symbol->variable, symbol->type);
    }
    unit->pou->body = anything_take(&any, &unit->pou->n_body);
}
