#include "study/alone.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/name.h"
#include "base/text.h"
#include "check/check.h"
#include "check/contents.h"
#include "lang/tree.h"
#include "source/diag.h"
#include "study/load.h"

/* One PROGRAM that is being made. */
struct maker {
    struct arena *arena;
    const struct sources *sources;
    const struct tree_pou *pou;
    struct text constants, inputs, own, before, arguments;
    uint32_t given; /* variables that were given a name of their own */
    bool open_arrays;
};

/* ---- words of the texts ---- */

/* Without the marks that some systems put around names. */
static void add_words(struct text *out, const struct sources *sources,
                      struct span span)
{
    size_t n;
    const char *at = sources_text(sources, span.file, &n);

    for (uint32_t i = span.from; i < span.to; i++)
        if (at[i] != '"' && !(at[i] == '#' && i == span.from))
            text_add_char(out, at[i]);
}

/* The type as it is written; an open dimension gets bounds. */
static void add_type(struct maker *m, struct text *out, struct span span)
{
    struct text words = {0};
    const char *at;

    add_words(&words, m->sources, span);
    for (at = text_str(&words); *at != '\0'; at++) {
        bool open = *at == '*' && at > words.at && at[-1] != '(' &&
                    at[1] != ')';

        m->open_arrays = m->open_arrays || open;
        text_add_bytes(out, open ? "0 .. 7" : at, open ? 6 : 1);
    }
    text_release(&words);
}

/* Is the name a variable of the POU? */
static bool is_taken(const struct tree_pou *pou, const char *name)
{
    for (const struct tree_var_block *b = pou->blocks.first; b != NULL;
         b = b->next)
        for (const struct tree_var *v = b->vars.first; v != NULL; v = v->next)
            if (strcasecmp(v->name->spelling, name) == 0)
                return true;
    return false;
}

/* A name that no variable of the POU has. */
static const char *free_name(const struct maker *m, const char *wanted)
{
    const char *name = wanted;

    for (unsigned i = 2; is_taken(m->pou, name); i++)
        name = arena_printf(m->arena, "%s_%u", wanted, i);
    return name;
}

/* ---- what is given ---- */

static void add_argument(struct maker *m, const struct tree_var *var)
{
    text_add(&m->arguments, m->arguments.n > 0 ? ", " : "");
    add_words(&m->arguments, m->sources, var->span);
    text_add(&m->arguments, " := ");
    add_words(&m->arguments, m->sources, var->span);
}

static void add_input(struct maker *m, const struct tree_var *var)
{
    text_add(&m->inputs, "  ");
    add_words(&m->inputs, m->sources, var->span);
    text_add(&m->inputs, " : ");
    add_type(m, &m->inputs, var->type->span);
    text_add(&m->inputs, ";\n");
    add_argument(m, var);
}

/* Any value before each call, kept in a variable that the call may change. */
static void add_in_out(struct maker *m, const struct tree_var *var)
{
    const char *given = free_name(
        m, arena_printf(m->arena, "given_%u", ++m->given));

    text_printf(&m->inputs, "  %s : ", given);
    add_type(m, &m->inputs, var->type->span);
    text_add(&m->inputs, ";\n");
    text_add(&m->own, "  ");
    add_words(&m->own, m->sources, var->span);
    text_add(&m->own, " : ");
    add_type(m, &m->own, var->type->span);
    text_add(&m->own, ";\n");
    text_add(&m->before, "  ");
    add_words(&m->before, m->sources, var->span);
    text_printf(&m->before, " := %s;\n", given);
    add_argument(m, var);
}

/* Bounds and lengths of what is given may be written with it. */
static void add_constant(struct maker *m, const struct tree_var *var)
{
    text_add(&m->constants, "  ");
    add_words(&m->constants, m->sources, var->span);
    text_add(&m->constants, " : ");
    add_type(m, &m->constants, var->type->span);
    text_add(&m->constants, " := ");
    add_words(&m->constants, m->sources, var->initial->span);
    text_add(&m->constants, ";\n");
}

static void add_variables(struct maker *m)
{
    for (const struct tree_var_block *b = m->pou->blocks.first; b != NULL;
         b = b->next)
        for (const struct tree_var *v = b->vars.first; v != NULL;
             v = v->next) {
            if (b->constant && b->section == TREE_VAR && v->initial != NULL)
                add_constant(m, v);
            else if (b->section == TREE_VAR_INPUT)
                add_input(m, v);
            else if (b->section == TREE_VAR_IN_OUT)
                add_in_out(m, v);
        }
}

/* ---- the PROGRAM ---- */

static void add_sections(const struct maker *m, struct text *out)
{
    if (m->constants.n > 0)
        text_printf(out, "VAR CONSTANT\n%sEND_VAR\n",
                    text_str(&m->constants));
    if (m->inputs.n > 0)
        text_printf(out, "VAR_INPUT\n%sEND_VAR\n", text_str(&m->inputs));
    if (m->own.n > 0)
        text_printf(out, "VAR\n%sEND_VAR\n", text_str(&m->own));
}

static void add_name(const struct maker *m, struct text *out)
{
    add_words(out, m->sources, m->pou->name->span);
}

/* instance(a := a);  or  result := Function(a := a); */
static void add_call(struct maker *m, struct text *out)
{
    bool block = m->pou->kind == TREE_FUNCTION_BLOCK;
    const char *name = free_name(m, block ? "called" : "result");
    struct text call = {0};

    if (block || m->pou->result != NULL) {
        text_printf(&m->own, "  %s : ", name);
        if (block)
            add_name(m, &m->own);
        else
            add_type(m, &m->own, m->pou->result->span);
        text_add(&m->own, ";\n");
    }
    if (block)
        text_add(&call, name);
    else if (m->pou->result != NULL)
        text_printf(&call, "%s := ", name);
    if (!block)
        add_name(m, &call);
    add_sections(m, out);
    text_printf(out, "%s  %s(%s);\n", text_str(&m->before), text_str(&call),
                text_str(&m->arguments));
    text_release(&call);
}

/* "Call" and the letters of the name. */
static const char *add_program_name(const struct maker *m, struct text *out)
{
    const char *words = m->pou->name->name->spelling;
    char *name = arena_copy(m->arena, words, strlen(words));

    for (char *at = name; *at != '\0'; at++)
        *at = isalnum((unsigned char)*at) ? *at : '_';
    text_printf(out, "Call_%s", name);
    return arena_printf(m->arena, "Call_%s", name);
}

static struct alone_pou make(const struct loaded *loaded,
                             const struct tree_pou *pou)
{
    struct maker m = {.arena = loaded->arena, .sources = loaded->sources,
                      .pou = pou};
    struct text program = {0};
    struct alone_pou made = {
        .kind = pou->kind == TREE_FUNCTION         ? "FUNCTION"
                : pou->kind == TREE_FUNCTION_BLOCK ? "FUNCTION_BLOCK"
                                                   : "PROGRAM",
        .name = pou->name->name->spelling,
        .runs = pou->name->name->spelling,
        .span = pou->name->span};

    if (pou->kind == TREE_PROGRAM)
        return made;
    text_add(&program, "PROGRAM ");
    made.runs = add_program_name(&m, &program);
    text_add(&program, "\n");
    add_variables(&m);
    add_call(&m, &program);
    text_add(&program, "END_PROGRAM\n");
    made.open_arrays = m.open_arrays;
    made.program = arena_copy(loaded->arena, text_str(&program), program.n);
    text_release(&program);
    text_release(&m.constants);
    text_release(&m.inputs);
    text_release(&m.own);
    text_release(&m.before);
    text_release(&m.arguments);
    return made;
}

/* ---- all of them ---- */

/* Does no PROGRAM run? */
static bool nothing_runs(const struct tree_run *run)
{
    if (run->configurations.first != NULL)
        return false;
    for (const struct tree_pou *p = run->pous.first; p != NULL; p = p->next)
        if (p->kind == TREE_PROGRAM)
            return false;
    return true;
}

/* Is something needed that is not read in this version?  A mistake is better
 * mended first. */
static bool lacks(const struct loaded *loaded)
{
    const struct check_context context = {
        .arena = loaded->arena,
        .names = loaded->names,
        .sources = loaded->sources,
        .diags = loaded->diags,
    };
    const struct contents contents = contents_of(&context, loaded->run);
    bool lacks = false;

    for (uint32_t i = 0; i < contents.n; i++) {
        const struct content *row = &contents.rows[i];

        if (row->state == CONTENT_UNREADABLE && row->why != NULL) {
            if (!row->why->beyond)
                return false;
            lacks = true;
        }
    }
    return lacks;
}

struct alone alone_of(const struct loaded *loaded)
{
    const struct tree_run *run = loaded->run;
    struct alone alone = {0};
    struct alone_pou *at;

    if (loaded->failure != NULL || run->review.name != NULL ||
        run->pous.first == NULL || !loaded->parsed ||
        diags_errors(loaded->diags) == 0)
        return alone;
    alone.unread = !nothing_runs(run);
    if (alone.unread && !lacks(loaded))
        return alone;
    at = arena_array(loaded->arena, run->pous.n, sizeof *at);
    for (const struct tree_pou *p = run->pous.first; p != NULL; p = p->next)
        at[alone.n++] = make(loaded, p);
    alone.at = at;
    return alone;
}
