#include "lang/build_elsewhere.h"

#include <string.h>

#include "base/arena.h"
#include "lang/build_path.h"
#include "lang/place.h"
#include "lang/reading.h"

struct tree_var *build_configured(struct reading *reading,
                                  struct tree_path *path,
                                  struct tree_string location,
                                  struct build_value value)
{
    struct tree_var *var = ARENA_NEW(reading->context->arena,
                                     struct tree_var);

    var->name = path->parts.first->name;
    var->span = path->span;
    var->location = location.at;
    var->located = location.span;
    var->place = location.at ? place_name(reading->context->names,
                                          location.at)
                             : NULL;
    var->type = value.type;
    var->initial = value.initial;
    var->path = path;
    return var;
}

static bool is_word(const struct tree_ident *ident, const char *folded)
{
    return ident && strcmp(ident->name->folded, folded) == 0;
}

struct chain build_accessed(struct reading *reading, struct chain vars,
                            struct tree_path *path, struct tree_type *type,
                            const struct tree_ident *direction)
{
    if (direction && !is_word(direction, "read_only") &&
        !is_word(direction, "read_write"))
        reading_error(reading, direction->span,
                      "write READ_ONLY or READ_WRITE",
                      "'%s' says nothing of who writes",
                      direction->name->spelling);
    for (struct tree_var *var = vars.first; var; var = var->next) {
        var->path = path;
        var->type = type;
        var->access = true;
        var->writes = is_word(direction, "read_write");
    }
    return vars;
}

/* ---- sections ---- */

static bool fits(struct reading *reading, enum tree_section section,
                 const struct tree_var *var)
{
    if (section == TREE_VAR_ACCESS) {
        if (!var->access)
            reading_error(reading, var->span,
                          "write name : Program.variable : type READ_WRITE;",
                          "this line of VAR_ACCESS names no variable");
        return var->access;
    }
    if (section == TREE_VAR_CONFIG) {
        if (var->access)
            reading_error(reading, var->span,
                          "write Program.variable AT %IX0.0 : BOOL;",
                          "VAR_CONFIG has one name in each line");
        return !var->access;
    }
    if (var->path)
        reading_error(reading, var->span,
                      "write one name, without points",
                      "a variable is declared by its own name");
    return !var->path;
}

struct chain build_fitting(struct reading *reading, enum tree_section section,
                           struct chain vars)
{
    struct chain out = {0};
    struct tree_var *next, *var = vars.first;

    for (; var; var = next) {
        struct tree_ident ident = {NULL, var->name, var->span};

        next = var->next;
        if (!fits(reading, section, var))
            continue;
        if (section == TREE_VAR_CONFIG && !var->path)
            var->path = build_path(reading, &ident);
        var->next = NULL;
        out = chain_add(out, var);
    }
    return out;
}

/* In a program the names of VAR_ACCESS are its own. */
static void name_program(struct reading *reading, struct tree_var_block *block,
                         const struct tree_ident *program)
{
    for (struct tree_var *var = block->vars.first; var; var = var->next) {
        struct tree_path *path;
        struct tree_ident ident = *program;

        if (var->path->parts.first->name->folded[0] == '%')
            continue;
        path = build_path(reading, &ident);
        path->parts.last->next = var->path->parts.first;
        path->parts.last = var->path->parts.last;
        path->parts.n += var->path->parts.n;
        path->span = var->path->span;
        var->path = path;
    }
}

bool build_elsewhere(struct reading *reading, struct tree_var_block *block,
                     enum tree_pou_kind kind, const struct tree_ident *unit)
{
    bool access = block->section == TREE_VAR_ACCESS;

    if (!access && block->section != TREE_VAR_CONFIG)
        return false;
    if (unit && !(access && kind == TREE_PROGRAM)) {
        reading_error(reading, block->span,
                      "write it in the CONFIGURATION, or outside of all",
                      access ? "VAR_ACCESS stands in no block and no function"
                             : "VAR_CONFIG stands in no block, function or "
                               "program");
        return true;
    }
    if (unit)
        name_program(reading, block, unit);
    block->next = NULL;
    CHAIN_APPEND(&reading->run->elsewhere, block);
    return true;
}
