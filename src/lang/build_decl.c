#include "lang/build_decl.h"

#include "base/arena.h"
#include "lang/build_elsewhere.h"
#include "lang/place.h"
#include "lang/reading.h"

struct tree_ident *build_nameless(struct reading *reading, struct span span)
{
    struct tree_ident *ident = ARENA_NEW(reading->context->arena,
                                         struct tree_ident);

    ident->name = names_of(reading->context->names, "?");
    ident->span = span;
    return ident;
}

struct chain build_located(struct reading *reading, struct chain names,
                           struct tree_string location)
{
    struct chain vars = {0};
    const struct tree_ident *ident = names.first;

    for (; ident; ident = ident->next) {
        struct tree_var *var = ARENA_NEW(reading->context->arena,
                                         struct tree_var);

        var->name = ident->name;
        var->span = ident->span;
        var->location = location.at;
        var->located = location.span;
        var->place = location.at ? place_name(reading->context->names,
                                              location.at)
                                 : NULL;
        vars = chain_add(vars, var);
    }
    return vars;
}

struct chain build_vars(struct chain vars, struct tree_type *type,
                        struct tree_expr *initial)
{
    for (struct tree_var *var = vars.first; var; var = var->next) {
        var->type = type;
        var->initial = initial;
    }
    return vars;
}

struct chain build_vars_with_equals(struct reading *reading,
                                    struct chain vars, struct span where)
{
    reading_error(reading, where, "write :=",
                  "an initial value stands behind ':='");
    return vars;
}

struct tree_var_block *build_var_block(struct reading *reading, int bits,
                                       struct chain vars, struct span word,
                                       struct span span)
{
    struct tree_var_block *block = ARENA_NEW(reading->context->arena,
                                             struct tree_var_block);

    block->section = (enum tree_section)(bits & 0xF);
    block->constant = bits & BUILD_CONSTANT;
    block->retain = bits & BUILD_RETAIN;
    block->non_retain = bits & BUILD_NON_RETAIN;
    if (block->retain && block->non_retain)
        reading_error(reading, word, "keep one of the two",
                      "variables cannot be RETAIN and NON_RETAIN");
    block->is_static = bits & BUILD_STATIC;
    vars = build_fitting(reading, block->section, vars);
    CHAIN_INTO(&block->vars, vars);
    block->span = span;
    return block;
}

void build_types_global(struct reading *reading, struct chain decls)
{
    struct tree_type_decl *next, *decl = decls.first;

    for (; decl; decl = next) {
        next = decl->next;
        CHAIN_APPEND(&reading->run->types, decl);
    }
}

void build_globals(struct reading *reading, struct tree_var_block *block)
{
    if (build_elsewhere(reading, block, TREE_PROGRAM, NULL))
        return;
    if (block->section != TREE_VAR_GLOBAL)
        reading_error(reading, block->span,
                      "write VAR_GLOBAL, or move it into a PROGRAM",
                      "only VAR_GLOBAL can stand outside a program");
    CHAIN_APPEND(&reading->run->globals, block);
}

void build_unknown(struct reading *reading, struct tree_ident *name,
                   struct tree_reason reason)
{
    struct tree_unknown *unknown = ARENA_NEW(reading->context->arena,
                                             struct tree_unknown);

    unknown->name = name;
    unknown->reason = reason;
    CHAIN_APPEND(&reading->run->review.unknown, unknown);
}
