#include "check/unknown.h"

#include <ctype.h>

#include "check/alias.h"
#include "check/anything.h"
#include "check/place.h"
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

/* What an unknown text gives. */
struct giving {
    struct env *env;
    struct anything any;
    VEC(const struct tree_pou *) texts; /* that it consists of */
    VEC(const struct symbol *) given;   /* globals, once each */
};

static void give(struct giving *g, const struct symbol *symbol)
{
    g->any.symbol = symbol;
    anything_give(&g->any, symbol->variable, symbol->type);
}

/* A global that an unknown text may write is written. */
static void note_global(struct draft *draft, struct unit *unit,
                        const struct symbol *symbol)
{
    if (symbol->variable.base != CODE_GLOBAL)
        return;
    unit->reads_globals = true;
    for (uint32_t k = 0; k < symbol->type->size; k++) {
        struct use *use = &draft->uses.at[symbol->variable.index + k];

        draft_note(&use->written, symbol->span);
        use->whole_written = true;
    }
}

/* ---- statements that are there all the same ---- */

static bool declares(const struct tree_pou *pou, const struct name *name)
{
    if (pou->name->name == name)
        return true;
    for (const struct tree_var_block *block = pou->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->name == name && block->section != TREE_VAR_EXTERNAL)
                return true;
    return false;
}

static void add_text(struct giving *g, const struct symbol *symbol)
{
    const struct tree_pou *tree = symbol ? symbol->unit->tree : NULL;

    for (size_t i = 0; tree && i < g->texts.n; i++)
        if (g->texts.at[i] == tree)
            return;
    if (tree)
        vec_push(&g->texts, tree);
}

static void give_global(struct giving *g, const struct symbol *symbol)
{
    if (!symbol->type || symbol->constant || symbol->at_input ||
        symbol->section == TREE_VAR_INPUT)
        return;
    for (size_t i = 0; i < g->given.n; i++)
        if (g->given.at[i]->variable.index == symbol->variable.index)
            return;
    vec_push(&g->given, symbol);
    note_global(g->env->draft, g->env->unit, symbol);
    give(g, symbol);
}

/* What a text names may be written by it, or by what it calls. */
static void give_named(struct giving *g, const struct tree_pou *pou)
{
    struct draft *draft = g->env->draft;

    for (uint32_t i = 0; i < pou->part.n_mentions; i++) {
        const struct name *name = pou->part.mentions[i].name;
        struct symbol *place = ARENA_NEW(draft->arena, struct symbol);
        const struct symbol *global;

        if (place_find(draft, g->env->unit, name, place)) {
            if (place->variable.base == CODE_GLOBAL)
                give_global(g, place);
            continue;
        }
        add_text(g, scope_find(&draft->unit_scope, name));
        global = scope_find(&draft->globals, name);
        if (global && !declares(pou, name))
            give_global(g, global);
    }
}

static char area_of(const struct tree_var *var)
{
    return (char)toupper((unsigned char)var->location[1]);
}

/* A place in a VAR that is left aside: at least as long as it may be. */
static void place_of(struct draft *draft, const struct unit *unit,
                     const struct tree_var *var)
{
    struct type *type = ARENA_NEW(draft->arena, struct type);
    enum { MANY = 1000 };

    *type = (struct type){.kind = TYPE_ARRAY,
                          .element = draft->types.bits[3],
                          .size = MANY};
    if (var->type->kind == TREE_NAMED &&
        var->type->name == draft->types.boolean->name)
        *type = *draft->types.boolean;
    vec_push(&draft->placed,
             ((struct placed){var->location, var->located, type, var->span,
                              unit}));
}

static void places_in(struct draft *draft, const struct unit *unit,
                      const struct tree_pou *pou)
{
    for (const struct tree_var_block *block = pou->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->place && area_of(var) != 'I' &&
                (pou != unit->tree || unknown_skips(unit, block->section)))
                place_of(draft, unit, var);
}

void unknown_body(struct draft *draft, struct unit *unit)
{
    struct env env = {.draft = draft,
                      .text = TEXT_CONTROL,
                      .unit = unit,
                      .frame = MODEL_NONE};
    struct giving giving = {.env = &env,
                            .any = {.env = &env, .unknown = unit->pou}};

    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (!is_changed(unit, symbol))
            continue;
        if (symbol->variable.base == CODE_GLOBAL)
            vec_push(&giving.given, symbol);
        note_global(draft, unit, symbol);
        if (symbol->section == TREE_VAR_IN_OUT)
            alias_touch(&env, &symbol->variable, symbol->type->size,
                        (struct inner){.written = symbol->span,
                                       .whole_written = true});
        give(&giving, symbol);
    }
    vec_push(&giving.texts, unit->tree);
    for (size_t i = 0; i < giving.texts.n; i++) {
        give_named(&giving, giving.texts.at[i]);
        places_in(draft, unit, giving.texts.at[i]);
    }
    vec_release(&giving.texts);
    vec_release(&giving.given);
    unit->pou->body = anything_take(&giving.any, &unit->pou->n_body);
}
