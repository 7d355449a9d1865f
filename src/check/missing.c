#include "check/missing.h"

#include "base/name.h"
#include "base/text.h"
#include "check/typing.h"
#include "check/wording.h"

enum { MOST_PLACES = 6 };

struct port {
    const struct name *name;
    const struct type *type; /* NULL: nothing tells */
    bool output;
};

struct missing {
    const struct name *name;
    VEC(const struct tree_var *) declared;
    VEC(struct span) called;
    VEC(struct port) ports;
    struct span span; /* of the type at the first declaration */
};

static struct missing *missing_named(struct draft *draft,
                                     const struct name *name)
{
    struct missing *missing;

    for (size_t i = 0; i < draft->missing.n; i++)
        if (draft->missing.at[i]->name == name)
            return draft->missing.at[i];
    missing = ARENA_NEW(draft->arena, struct missing);
    missing->name = name;
    vec_push(&draft->missing, missing);
    return missing;
}

bool missing_declared(struct draft *draft, const struct tree_var *var,
                      struct symbol *symbol)
{
    const struct scope *scopes[2] = {&draft->type_scope,
                                     &draft->unit_scope};
    const struct name *name = var->type->name;
    struct missing *missing;

    if (!name || var->type->low || scope_find(scopes[0], name) ||
        scope_find(scopes[1], name))
        return false;
    missing = missing_named(draft, name);
    if (!missing->declared.n)
        missing->span = var->type->span;
    vec_push(&missing->declared, var);
    symbol->missing = missing;
    return true;
}

void missing_called(const struct symbol *symbol, struct span span)
{
    vec_push(&symbol->missing->called, span);
}

void missing_port(const struct symbol *symbol, const struct name *name,
                  const struct type *type, bool output)
{
    struct missing *missing = symbol->missing;

    for (size_t i = 0; i < missing->ports.n; i++) {
        struct port *old = &missing->ports.at[i];

        if (old->name != name)
            continue;
        if (!old->type)
            old->type = type;
        return;
    }
    vec_push(&missing->ports, ((struct port){name, type, output}));
}

/* ---- the message ---- */

static void add_place(struct text *out, const struct draft *draft,
                      const struct missing *missing, struct span span)
{
    struct place place = sources_place(draft->sources, span);

    if (span.file != missing->span.file)
        text_printf(out, "%s ", place.path);
    text_printf(out, "line %u", place.line);
}

static void add_uses(struct text *out, const struct draft *draft,
                     const struct missing *missing)
{
    size_t n = missing->declared.n, calls = missing->called.n;

    for (size_t i = 0; i < n && i < MOST_PLACES; i++) {
        const struct tree_var *var = missing->declared.at[i];

        text_printf(out, "%s'%s' in ", i ? ", " : "; declared with it: ",
                    var->name->spelling);
        add_place(out, draft, missing, var->span);
    }
    if (n > MOST_PLACES)
        text_printf(out, " and %zu more", n - MOST_PLACES);
    for (size_t i = 0; i < calls && i < MOST_PLACES; i++) {
        text_add(out, i ? ", " : "; called in ");
        add_place(out, draft, missing, missing->called.at[i]);
    }
    if (calls > MOST_PLACES)
        text_printf(out, " and %zu more", calls - MOST_PLACES);
}

static void add_ports(struct text *out, const struct draft *draft,
                      const struct missing *missing, bool output)
{
    bool any = false;

    for (size_t i = 0; i < missing->ports.n; i++) {
        const struct port *port = &missing->ports.at[i];
        const struct type *type =
            port->type ? port->type : draft->types.boolean;

        if (port->output != output)
            continue;
        if (type == draft->types.literal)
            type = draft->types.dint;
        if (type == draft->types.real_literal)
            type = draft->types.real;
        if (!any)
            text_printf(out, "\n      VAR_%s", output ? "OUTPUT" : "INPUT");
        any = true;
        text_printf(out, " %s : %s;", port->name->spelling,
                    wording_type(draft, type));
    }
    if (any)
        text_add(out, " END_VAR");
}

static void add_declaration(struct text *out, const struct draft *draft,
                            const struct missing *missing)
{
    text_printf(out, "FUNCTION_BLOCK %s",
                draft_spelling(draft, missing->name, missing->span));
    add_ports(out, draft, missing, false);
    add_ports(out, draft, missing, true);
    text_add(out, "\n      END_FUNCTION_BLOCK");
}

/* What ends the mistake just reported: an empty block of which nothing is
 * known. */
static void add_remedy(struct draft *draft, const struct missing *missing)
{
    struct text declaration = {0};

    add_declaration(&declaration, draft, missing);
    diag_remedy(draft->diags,
                arena_printf(draft->arena,
                             "UNKNOWN %s BECAUSE 'its text is missing';",
                             draft_spelling(draft, missing->name,
                                            missing->span)),
                text_str(&declaration));
    text_release(&declaration);
}

/* A known name is near, and it is a standard block or nothing is used of
 * this one: a slip of the pen. */
static void report_slip(struct draft *draft, const struct missing *missing,
                        const struct symbol *near)
{
    diag_add(draft->diags, DIAG_ERROR, missing->span,
             arena_printf(draft->arena, "write '%s', or declare the type",
                          draft_spelling(draft, near->name, near->span)),
             "there is no type or function block '%s'",
             draft_spelling(draft, missing->name, missing->span));
}

static bool is_standard(const struct symbol *symbol)
{
    return symbol->kind == SYMBOL_UNIT && !symbol->unit->tree;
}

static void report(struct draft *draft, const struct missing *missing)
{
    const struct scope *scopes[2] = {&draft->type_scope,
                                     &draft->unit_scope};
    const struct symbol *near = scope_nearest(scopes, 2, missing->name);
    bool block = missing->called.n || missing->ports.n;
    struct text hint = {0}, uses = {0};

    if (near && (!block || is_standard(near))) {
        report_slip(draft, missing, near);
        return;
    }
    add_uses(&uses, draft, missing);
    if (block) {
        if (near)
            text_printf(&hint, "write '%s', or ",
                        draft_spelling(draft, near->name, near->span));
        text_printf(&hint,
                    "add the text that declares it, or paste this and write "
                    "what it does, or leave it empty and write UNKNOWN %s; "
                    "in the review text:\n      ",
                    draft_spelling(draft, missing->name, missing->span));
        add_declaration(&hint, draft, missing);
    } else
        text_add(&hint, "declare it in a TYPE section, or add the text of "
                        "the function block");
    diag_add(draft->diags, DIAG_ERROR, missing->span, text_str(&hint),
             "there is no %s '%s'%s",
             block ? "text of the function block" : "type or function block",
             draft_spelling(draft, missing->name, missing->span),
             text_str(&uses));
    if (block)
        add_remedy(draft, missing);
    text_release(&hint);
    text_release(&uses);
}

void missing_report(struct draft *draft)
{
    for (size_t i = 0; i < draft->missing.n; i++) {
        struct missing *missing = draft->missing.at[i];

        report(draft, missing);
        vec_release(&missing->declared);
        vec_release(&missing->called);
        vec_release(&missing->ports);
    }
    vec_release(&draft->missing);
}
