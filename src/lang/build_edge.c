#include "lang/build_edge.h"

#include <ctype.h>

#include "base/arena.h"
#include "base/name.h"
#include "lang/build_decl.h"
#include "lang/build_expr.h"
#include "lang/build_path.h"
#include "lang/build_stmt.h"
#include "lang/build_type.h"
#include "lang/reading.h"

static struct tree_ident *ident_new(struct reading *reading,
                                    const struct name *name,
                                    struct span span)
{
    struct tree_ident *ident = ARENA_NEW(reading->context->arena,
                                         struct tree_ident);

    ident->name = name;
    ident->span = span;
    return ident;
}

static const struct name *named(struct reading *reading, const char *text)
{
    return names_of(reading->context->names, text);
}

struct chain build_edges(struct reading *reading, struct chain vars,
                         struct tree_type *type, struct span word)
{
    char first = (char)toupper((unsigned char)reading->text[word.from]);

    for (struct tree_var *var = vars.first; var; var = var->next) {
        struct reading_edge edge = {
            .input = var->name, .span = var->span, .falls = first == 'F'};

        edge.instance = named(
            reading, reading_printf(reading, "%s(edge)",
                                    var->name->spelling));
        vec_push(&reading->edges, edge);
    }
    return build_vars(vars, type, NULL);
}

struct tree_path *build_edge_path(struct reading *reading,
                                  struct tree_ident *ident)
{
    struct tree_path *path;

    for (size_t i = 0; i < reading->edges.n; i++) {
        if (reading->edges.at[i].input != ident->name)
            continue;
        path = build_path(reading,
                          ident_new(reading, reading->edges.at[i].instance,
                                    ident->span));
        return build_path_more(reading, path,
                               ident_new(reading, named(reading, "Q"),
                                         ident->span));
    }
    return build_path(reading, ident);
}

struct tree_ident *build_heading(struct reading *reading,
                                 struct tree_ident *ident)
{
    vec_clear(&reading->edges);
    return ident;
}

static struct tree_var_block *instance(struct reading *reading,
                                       const struct reading_edge *edge)
{
    struct chain names = chain_add(
        (struct chain){0}, ident_new(reading, edge->instance, edge->span));
    struct tree_type *type = build_type_name(
        reading,
        ident_new(reading, named(reading, edge->falls ? "F_TRIG" : "R_TRIG"),
                  edge->span));

    names = build_vars(build_located(reading, names,
                                     (struct tree_string){0}), type, NULL);
    return build_var_block(reading, TREE_VAR, names, edge->span, edge->span);
}

static struct tree_stmt *call(struct reading *reading,
                              const struct reading_edge *edge)
{
    struct tree_path *path = build_path(
        reading, ident_new(reading, edge->instance, edge->span));
    struct tree_expr *input = build_ref(
        reading, build_path(reading,
                            ident_new(reading, edge->input, edge->span)));
    struct tree_arg *arg = build_arg(
        reading, ident_new(reading, named(reading, "CLK"), edge->span),
        input, false, edge->span);

    return build_invoke(reading, path, chain_add((struct chain){0}, arg),
                        edge->span);
}

static bool is_input(const struct tree_pou *pou, const struct name *name)
{
    for (const struct tree_var_block *block = pou->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->name == name)
                return block->section == TREE_VAR_INPUT;
    return false;
}

void build_edge_calls(struct reading *reading, struct tree_pou *pou)
{
    struct chain body = {0}, rest = {pou->body.first, pou->body.last,
                                     pou->body.n};

    for (size_t i = 0; i < reading->edges.n; i++) {
        const struct reading_edge *edge = &reading->edges.at[i];
        struct tree_var_block *block = instance(reading, edge);

        if (pou->kind == TREE_FUNCTION || !is_input(pou, edge->input))
            reading_error(reading, edge->span,
                          "declare it as VAR_INPUT of a FUNCTION_BLOCK or "
                          "PROGRAM, or call an R_TRIG",
                          "only an input of what remembers has an edge");
        CHAIN_APPEND(&pou->blocks, block);
        body = chain_add(body, call(reading, edge));
    }
    CHAIN_INTO(&pou->body, chain_join(body, rest));
    vec_clear(&reading->edges);
}
