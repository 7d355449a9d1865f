#include "check/anything.h"

#include <string.h>

static void give_one(struct anything *any, struct code_variable target,
                     const struct type *type)
{
    struct open_place place = {.kind = OPEN_VALUE,
                               .what = any->symbol->name->spelling,
                               .unknown = any->unknown,
                               .type = type,
                               .span = any->symbol->span};

    vec_push(&any->stmts, ((struct code_stmt){
        .kind = CODE_ASSIGN,
        .span = any->symbol->span,
        .target = target,
        .target_type = type,
        .value = abstract_any(any->env, place, NULL, 0),
        .site = CODE_NO_SITE,
        .choice = MODEL_NONE,
    }));
}

/* The depth of types is bounded. */
void anything_give(struct anything *any, struct code_variable target,
                   const struct type *type)
{
    switch (type->kind) {
    case TYPE_ARRAY:
        for (uint32_t at = 0; at < type->size; at += type->element->size)
            anything_give(any, code_behind(target, at), type->element);
        break;
    case TYPE_STRUCT:
        for (uint32_t i = 0; i < type->n_fields; i++)
            anything_give(any, code_behind(target, type->fields[i].offset),
                          type->fields[i].type);
        break;
    case TYPE_BLOCK:
        diag_add(any->env->draft->diags, DIAG_ERROR, any->symbol->span,
                 "hand over its outputs one by one, or give a stand-in text",
                 "an UNKNOWN text cannot be given an instance of a block");
        break;
    default:
        give_one(any, target, type);
    }
}

const struct code_stmt *anything_take(struct anything *any, uint32_t *n)
{
    struct code_stmt *rows = arena_array(any->env->draft->arena,
                                         any->stmts.n, sizeof *rows);

    if (any->stmts.n)
        memcpy(rows, any->stmts.at, any->stmts.n * sizeof *rows);
    *n = (uint32_t)any->stmts.n;
    vec_release(&any->stmts);
    return rows;
}
