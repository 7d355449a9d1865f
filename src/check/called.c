#include "check/called.h"

#include "check/need.h"

/* ---- before anything is declared ---- */

static bool declares(const struct tree_pou *pou, const struct name *name)
{
    for (const struct tree_var_block *block = pou->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->name == name)
                return true;
    return false;
}

static void mark(struct draft *draft, const struct tree_pou *caller,
                 const struct tree_path *path)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol = scope_find(&draft->unit_scope, first->name);

    if (symbol && !first->next && symbol->unit->pou->kind == POU_PROGRAM &&
        !declares(caller, first->name) &&
        !scope_find(&draft->globals, first->name))
        draft_note(&symbol->unit->called, path->span);
}

static void mark_all(struct draft *draft, const struct tree_pou *caller,
                     const struct tree_stmt *first)
{
    for (const struct tree_stmt *at = first; at; at = at->next) {
        if (at->kind == TREE_INVOKE)
            mark(draft, caller, at->target);
        for (const struct tree_branch *branch = at->branches.first; branch;
             branch = branch->next)
            mark_all(draft, caller, branch->body.first);
    }
}

void called_mark(struct draft *draft)
{
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        if (pou->kind == TREE_PROGRAM && need_has(draft->need,
                                                  pou->name->name))
            mark_all(draft, pou, pou->body.first);
}

/* ---- in a body ---- */

struct unit *called_named(const struct env *env, const struct name *name)
{
    const struct symbol *symbol = scope_find(&env->draft->unit_scope, name);

    return env->text == TEXT_CONTROL && symbol &&
                   symbol->unit->pou->kind == POU_PROGRAM &&
                   !scope_find(&env->unit->scope, name) &&
                   !scope_find(&env->draft->globals, name)
               ? symbol->unit : NULL;
}

uint32_t called_frame(const struct draft *draft, const struct unit *program)
{
    uint32_t frame = MODEL_NONE;
    unsigned n = 0;

    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->program_units.at[i] == program) {
            frame = draft->programs.at[i].frame;
            n++;
        }
    return n == 1 ? frame : MODEL_NONE;
}

bool called_from(struct env *env, struct unit *program, struct span span)
{
    if (env->unit->pou->kind == POU_PROGRAM) {
        vec_push(&env->unit->calls, program);
        return true;
    }
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "call it in a PROGRAM, or make it a FUNCTION_BLOCK",
             "'%s' is a program, and only a program calls one",
             program->name->spelling);
    return false;
}
