#include "check/elsewhere.h"

#include <ctype.h>
#include <string.h>

#include "check/need.h"
#include "check/place.h"
#include "check/resolve.h"
#include "check/typing.h"
#include "check/wording.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const struct name *name, const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             draft_spelling(draft, name, span), what);
    return false;
}

/* ---- which variable ---- */

static bool begins_path(const struct draft *draft, const struct name *name)
{
    for (size_t i = 0; i < draft->program_names.n; i++)
        if (draft->program_names.at[i] == name ||
            draft->program_units.at[i]->name == name)
            return true;
    return scope_find(&draft->globals, name);
}

/* Not under review: a program that does not run, a global that nothing
 * mentions. */
static bool is_elsewhere(const struct draft *draft, const struct name *name)
{
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        if (pou->name->name == name)
            return true;
    for (const struct tree_var_block *block = draft->run->globals.first;
         block; block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            if (var->name == name)
                return true;
    return false;
}

/* The path without the names of a configuration and a resource, or of a list
 * of globals, before it.  NULL: it names nothing that is under review. */
static struct tree_path *within(struct draft *draft,
                                const struct tree_path *path)
{
    struct path_part *part = path->parts.first;
    struct tree_path *out;
    uint32_t n = path->parts.n;

    while (part && part->kind == PART_NAME &&
           !begins_path(draft, part->name) && part->name->folded[0] != '%') {
        if (is_elsewhere(draft, part->name))
            return NULL;
        part = part->next;
        n--;
    }
    if (!part || part->kind != PART_NAME) {
        diag_add(draft->diags, DIAG_ERROR, path->span,
                 "begin with a program that runs, or a global variable; or "
                 "take the line out",
                 "there is no variable of this name");
        return NULL;
    }
    out = ARENA_NEW(draft->arena, struct tree_path);
    *out = *path;
    out->parts.first = part;
    out->parts.n = n;
    return out;
}

static bool is_value(struct draft *draft, const struct tree_var *var,
                     const struct found *found)
{
    if (found->kind == FOUND_VARIABLE &&
        found->variable.base != CODE_IN_OUT && !found->type->remembers)
        return true;
    return refuse(draft, var->path->span, "name one of its variables",
                  found->symbol->name, "is no value");
}

static bool type_is_said(struct draft *draft, const struct tree_var *var,
                         const struct found *found)
{
    const struct type *type =
        typing_of(draft, &draft->globals, var->type);

    if (!type)
        return false;
    if (found->bit || type_same(type, found->type) ||
        (type_elementary(type) && type_elementary(found->type) &&
         type_base(type) == type_base(found->type)))
        return true;
    diag_add(draft->diags, DIAG_ERROR, var->type->span,
             "write the same type in both places",
             "'%s' is %s here, and is declared as %s",
             draft_spelling(draft, found->symbol->name, var->path->span),
             wording_type(draft, type), wording_type(draft, found->type));
    diag_also(draft->diags, found->symbol->span, "declared here");
    return false;
}

/* ---- VAR_CONFIG ---- */

static bool stands_anywhere(const struct symbol *symbol)
{
    return symbol->location && strchr(symbol->location, '*');
}

/* Its place counts as one that the texts declare. */
static bool place(struct draft *draft, const struct tree_var *var,
                  const struct found *found)
{
    const char *declared = found->symbol->location;

    if (stands_anywhere(found->symbol) && found->type != found->symbol->type)
        return refuse(draft, var->located, "name it without its parts",
                      found->symbol->name, "gets its place as a whole");
    if (!stands_anywhere(found->symbol))
        return refuse(draft, var->located,
                      "declare it AT %I*, %Q* or %M*, or take AT out here",
                      found->symbol->name,
                      declared ? "has its place already"
                               : "is declared without a place");
    if (toupper((unsigned char)declared[1]) !=
        toupper((unsigned char)var->location[1]))
        return refuse(draft, var->located,
                      arena_printf(draft->arena, "write a place at %%%c",
                                   toupper((unsigned char)declared[1])),
                      found->symbol->name, "is declared for another area");
    if (var->place)
        vec_push(&draft->placed,
                 ((struct placed){var->location, var->located, found->type,
                                  var->path->span, NULL}));
    return true;
}

static void begin(struct draft *draft, const struct tree_var *var,
                  const struct found *found)
{
    uint32_t first = found->variable.index;
    const int64_t *values;

    if (found->symbol->constant) {
        refuse(draft, var->path->span, "write the value where it is declared",
               found->symbol->name, "is a CONSTANT");
        return;
    }
    if (type_elementary(found->type)) {
        typing_constant(draft, &draft->globals, var->initial, found->type,
                        &draft->slots.at[first].initial);
        return;
    }
    values = typing_values(draft, &draft->globals, var->initial, found->type);
    for (uint32_t i = 0; values && i < found->type->size; i++)
        draft->slots.at[first + i].initial = values[i];
}

static void configure(struct draft *draft, const struct tree_var *var,
                      const struct tree_path *path)
{
    struct found found;

    if (!resolve_control(draft, path, &found) ||
        !is_value(draft, var, &found) || !type_is_said(draft, var, &found))
        return;
    if (!var->location || place(draft, var, &found))
        if (var->initial)
            begin(draft, var, &found);
}

/* ---- VAR_ACCESS ---- */

static void share(struct draft *draft, const struct tree_var *var,
                  const struct found *found)
{
    if (found->symbol->constant ||
        draft->slots.at[found->variable.index].temp) {
        refuse(draft, var->path->span, "write READ_ONLY",
               found->symbol->name, "is written by nobody else");
        return;
    }
    for (uint32_t i = 0; i < found->type->size; i++) {
        struct use *use = &draft->uses.at[found->variable.index + i];

        draft_note(&use->driven, var->path->span);
        use->shared = true;
    }
}

/* A place that no text declares may still be a part of one. */
static void share_place(struct draft *draft, const struct tree_var *var)
{
    const struct type *type = typing_of(draft, &draft->globals, var->type);

    if (type)
        vec_push(&draft->placed,
                 ((struct placed){var->path->parts.first->name->spelling,
                                  var->path->span, type, var->path->span,
                                  NULL}));
}

static void give_access(struct draft *draft, const struct tree_var *var,
                        const struct tree_path *path)
{
    struct found found;

    if (resolve_control_bit(draft, path, &found) &&
        is_value(draft, var, &found) && type_is_said(draft, var, &found))
        share(draft, var, &found);
}

/* ---- each line ---- */

static void apply(struct draft *draft, const struct tree_var *var,
                  const struct tree_path *path)
{
    if (var->access)
        give_access(draft, var, path);
    else
        configure(draft, var, path);
}

/* A program that runs as several instances: what is said of it holds for
 * each.  False: the name is not that of such a program. */
static bool apply_to_each(struct draft *draft, const struct tree_var *var,
                          const struct tree_path *path)
{
    const struct name *first = path->parts.first->name;
    uint32_t n = 0;

    for (size_t i = 0; i < draft->program_units.n; i++) {
        if (draft->program_names.at[i] == first)
            return false;
        n += draft->program_units.at[i]->name == first;
    }
    for (size_t i = 0; n && i < draft->program_units.n; i++) {
        struct path_part part = *path->parts.first;
        struct tree_path one = *path;

        if (draft->program_units.at[i]->name != first)
            continue;
        part.name = draft->program_names.at[i];
        one.parts.first = &part;
        apply(draft, var, &one);
    }
    return n;
}

static void read_line(struct draft *draft, const struct tree_var *var)
{
    const struct name *first = var->path->parts.first->name;
    struct symbol symbol;
    struct tree_path *path;

    if (var->access && !var->writes)
        return;
    if (first->folded[0] == '%' && !place_find(draft, NULL, first, &symbol)) {
        share_place(draft, var);
        return;
    }
    path = within(draft, var->path);
    if (path && !apply_to_each(draft, var, path))
        apply(draft, var, path);
}

void elsewhere_read(struct draft *draft)
{
    if (draft->unlaid)
        return;
    for (const struct tree_var_block *block = draft->run->elsewhere.first;
         block; block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next)
            read_line(draft, var);
}
