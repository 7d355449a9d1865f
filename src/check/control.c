#include "check/control.h"

#include "base/text.h"
#include "check/alias.h"
#include "check/called.h"
#include "check/execution.h"
#include "check/inside.h"
#include "check/need.h"
#include "check/overlap.h"
#include "check/place.h"
#include "check/slots.h"
#include "check/stmt.h"
#include "check/unit.h"
#include "check/unknown.h"

enum { MAX_CALLS = 100 }; /* nested calls of functions */

/* ---- declarations ---- */

static void globals_of(struct draft *draft, struct unit_vars *vars,
                       const struct tree_var_block *block, bool all)
{
    for (; block; block = block->next)
        if (all || block->section == TREE_VAR_GLOBAL)
            unit_section(draft, vars, block);
}

/* Each value of the variable, but none of an instance in it. */
static void own_slot(struct draft *draft, const struct type *type,
                     const struct use *use, uint32_t slot)
{
    if (type_elementary(type)) {
        draft->uses.at[slot].symbol = use->symbol;
        draft->uses.at[slot].program = use->program;
        if (use->symbol->constant)
            draft->slots.at[slot].driver = DRIVER_FIXED;
    }
    for (uint32_t i = 0; i < type->n_fields; i++)
        own_slot(draft, type->fields[i].type, use,
                 slot + type->fields[i].offset);
    for (uint32_t i = 0; type->kind == TYPE_ARRAY && i < type->size;
         i += type->element->size)
        own_slot(draft, type->element, use, slot + i);
}

static void own_inside(struct draft *draft, const struct type *type,
                       struct unit *program, uint32_t slot);

/* Of an instance of a block what stands at an input (AT %I) comes from
 * outside; what else does is known behind the bodies (inside.h). */
static void own_block(struct draft *draft, const struct scope *scope,
                      struct unit *program, uint32_t slot)
{
    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];
        struct use use = {.symbol = symbol, .program = program};

        if (!symbol->type || symbol->variable.base != CODE_LOCAL)
            continue;
        if (symbol->kind == SYMBOL_VARIABLE && symbol->at_input)
            own_slot(draft, symbol->type, &use,
                     slot + symbol->variable.index);
        own_inside(draft, symbol->type, program,
                   slot + symbol->variable.index);
    }
}

static void own_inside(struct draft *draft, const struct type *type,
                       struct unit *program, uint32_t slot)
{
    if (!type->remembers)
        return;
    if (type->kind == TYPE_BLOCK) {
        overlap_instance(draft, type->unit, ++type->unit->laid);
        inside_laid(draft, type->unit, program, slot);
        own_block(draft, &type->unit->scope, program, slot);
    }
    for (uint32_t i = 0; i < type->n_fields; i++)
        own_inside(draft, type->fields[i].type, program,
                   slot + type->fields[i].offset);
    for (uint32_t i = 0; type->kind == TYPE_ARRAY && i < type->size;
         i += type->element->size)
        own_inside(draft, type->element, program, slot + i);
}

/* Marks the slots that a program or the globals own: only these may be
 * driven from outside. */
static void own_slots(struct draft *draft, const struct scope *scope,
                      struct unit *program, uint32_t base)
{
    for (size_t i = 0; i < scope->all.n; i++) {
        const struct symbol *symbol = scope->all.at[i];
        struct use use = {.symbol = symbol, .program = program};

        if (!symbol->type || symbol->section == TREE_VAR_EXTERNAL ||
            symbol->section == TREE_VAR_IN_OUT)
            continue;
        if (symbol->variable.index + base + symbol->type->size >
            draft->uses.n)
            continue; /* too many slots: reported */
        if (symbol->kind == SYMBOL_VARIABLE)
            own_slot(draft, symbol->type, &use,
                     symbol->variable.index + base);
        own_inside(draft, symbol->type, program,
                   symbol->variable.index + base);
    }
}

/* A global variable for each place that nobody declares, behind all
 * others. */
static void declare_places(struct draft *draft, struct unit_vars *vars)
{
    for (const struct tree_var *var = draft->run->places.first; var;
         var = var->next) {
        struct tree_var_block block = {.section = TREE_VAR_GLOBAL,
                                       .span = var->span};
        struct tree_var alone = *var;

        if (!place_needed(draft, var))
            continue;
        alone.next = NULL;
        block.vars.first = block.vars.last = &alone;
        block.vars.n = 1;
        unit_section(draft, vars, &block);
    }
}

static void declare_globals(struct draft *draft)
{
    struct unit_vars vars = {.scope = &draft->globals, .control = true};
    struct slot like = {.home = SLOT_GLOBAL};

    globals_of(draft, &vars, draft->run->globals.first, true);
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        globals_of(draft, &vars, pou->blocks.first, false);
    declare_places(draft, &vars);
    for (size_t i = 0; i < draft->globals.all.n; i++)
        draft->globals.all.at[i]->variable.base = CODE_GLOBAL;
    if (!vars.mistaken &&
        slots_unfold_rows(draft, vars.rows.at, vars.rows.n, "", &like))
        own_slots(draft, &draft->globals, NULL, 0);
    else
        draft->unlaid = true;
    vec_release(&vars.rows);
}

static void declare_program(struct draft *draft,
                            const struct tree_pou *tree,
                            const struct name *name)
{
    bool known;
    struct unit *unit =
        unit_named(draft, tree->name->name, tree->name->span, &known);
    struct slot like = {.home = SLOT_PROGRAM, .span = tree->name->span};
    uint32_t frame;

    if (!unit || unit->tree != tree)
        return; /* declared twice: reported */
    if (unit->pou->n_in_out && !unit->called.file)
        diag_add(draft->diags, DIAG_ERROR, tree->name->span,
                 "use VAR_INPUT and VAR_OUTPUT",
                 "the program '%s' has a VAR_IN_OUT, and nobody calls it",
                 unit->name->spelling);
    if (unit->broken) {
        frame = MODEL_NONE;
        draft->unlaid = true;
    } else {
        if (!slots_unfold(draft, unit, name->spelling, &like, &frame)) {
            draft->unlaid = true;
            return;
        }
        overlap_instance(draft, unit, ++unit->laid);
        own_slots(draft, &unit->scope, unit, frame);
    }
    vec_push(&draft->programs, ((struct program){.pou = unit->pou,
                                                .frame = frame,
                                                .name = name}));
    vec_push(&draft->program_names, name);
    vec_push(&draft->program_units, unit);
}

static void declare_instance(struct draft *draft,
                             const struct tree_instance *instance)
{
    const struct symbol *symbol =
        scope_find(&draft->unit_scope, instance->type->name);
    const struct tree_pou *tree = symbol ? symbol->unit->tree : NULL;

    if (tree && tree->kind == TREE_PROGRAM && symbol->unit->called.file) {
        diag_add(draft->diags, DIAG_ERROR, instance->type->span,
                 "take the call out, or this line",
                 "'%s' runs by itself here, and where another program calls "
                 "it",
                 instance->type->name->spelling);
        diag_also(draft->diags, symbol->unit->called, "it is called here");
    } else if (tree && tree->kind == TREE_PROGRAM)
        declare_program(draft, tree, instance->name->name);
    else
        diag_add(draft->diags, DIAG_ERROR, instance->type->span,
                 "add its text, or name another one",
                 "there is no PROGRAM '%s'",
                 instance->type->name->spelling);
}

static bool is_called(const struct draft *draft, const struct tree_pou *pou)
{
    const struct symbol *symbol =
        scope_find(&draft->unit_scope, pou->name->name);

    return symbol && symbol->unit->tree == pou && symbol->unit->called.file;
}

static void declare_all(struct draft *draft, bool called)
{
    for (const struct tree_pou *pou = draft->run->pous.first; pou;
         pou = pou->next)
        if (pou->kind == TREE_PROGRAM && is_called(draft, pou) == called &&
            need_has(draft->need, pou->name->name))
            declare_program(draft, pou, pou->name->name);
}

/* In the order in which they run, then those that others call. */
static void declare_programs(struct draft *draft)
{
    const struct tree_configuration *configuration =
        draft->run->configurations.first;

    called_mark(draft);
    if (configuration)
        for (const struct tree_instance *at = configuration->instances.first;
             at; at = at->next)
            declare_instance(draft, at);
    else
        declare_all(draft, false);
    draft->n_running = draft->programs.n;
    declare_all(draft, true);
}

void control_declare(struct draft *draft)
{
    struct span place = draft->run->review.span;

    declare_globals(draft);
    declare_programs(draft);
    if (draft->program_units.n || diags_errors(draft->diags))
        return;
    if (draft->run->review.name && !draft->run->review.controls_in.first &&
        !draft->run->pous.first)
        return; /* a machine without a controller may be looked at */
    if (!draft->run->review.name && !draft->run->pous.first) {
        diag_add(draft->diags, DIAG_ERROR, place,
                 "give it together with the text that uses it",
                 "there is no PROGRAM, FUNCTION or FUNCTION_BLOCK in this "
                 "text, so there is nothing to judge");
        return;
    }
    if (!place.file && draft->run->pous.first)
        place = draft->run->pous.first->name->span;
    diag_add(draft->diags, DIAG_ERROR, place,
             "name a text with a PROGRAM after CONTROL, or write a small "
             "PROGRAM that calls the block",
             "there is no PROGRAM in the control text");
}

/* ---- bodies ---- */

static uint32_t frame_of(const struct draft *draft, const struct unit *unit)
{
    for (size_t i = 0; i < draft->program_units.n; i++)
        if (draft->program_units.at[i] == unit)
            return draft->programs.at[i].frame;
    return MODEL_NONE;
}

/* A program that runs as several instances was looked at once. */
static void share_uses(struct draft *draft, const struct unit *unit,
                       uint32_t frame)
{
    for (size_t i = 0; i < draft->program_units.n; i++) {
        uint32_t other = draft->programs.at[i].frame;

        if (draft->program_units.at[i] != unit || frame == MODEL_NONE ||
            other == frame || other == MODEL_NONE)
            continue;
        for (uint32_t k = 0; k < unit->pou->size; k++) {
            const struct use *from = &draft->uses.at[frame + k];

            inside_done(&draft->uses.at[other + k],
                        &(struct inner){from->read, from->written,
                                        from->bits_read, from->bits_written,
                                        from->bits_lent,
                                        from->whole_written});
        }
    }
}

static void check_body(struct draft *draft, struct unit *unit)
{
    struct env env = {.draft = draft, .text = TEXT_CONTROL, .unit = unit};

    if (!unit->tree || unit->state != SYMBOL_DONE || unit->walked)
        return;
    unit->walked = true;
    if (unit->unknown) {
        unknown_body(draft, unit);
        return;
    }
    env.frame = frame_of(draft, unit);
    unit->pou->body =
        stmt_check(&env, unit->tree->body.first, &unit->pou->n_body);
    execution_wrap(&env, unit);
}

/* A body may need units that stand earlier in the list: go round until
 * nothing new was needed. */
void control_bodies(struct draft *draft)
{
    size_t before;

    do {
        before = draft->functions.n;
        for (size_t i = 0; i < draft->units.n; i++)
            check_body(draft, draft->units.at[i]);
    } while (draft->functions.n != before);
    alias_note(draft);
    inside_note(draft);
    for (size_t i = 0; i < draft->units.n; i++)
        share_uses(draft, draft->units.at[i],
                   frame_of(draft, draft->units.at[i]));
}

/* ---- recursion ---- */

struct walk {
    struct draft *draft;
    VEC(struct unit *) path;
};

static void circle(struct walk *walk, struct unit *unit)
{
    struct text words = {0};
    bool seen = false;

    for (size_t i = 0; i < walk->path.n; i++) {
        seen |= walk->path.at[i] == unit;
        if (seen)
            text_printf(&words, "%s calls ",
                        walk->path.at[i]->name->spelling);
    }
    text_add(&words, unit->name->spelling);
    diag_add(walk->draft->diags, DIAG_ERROR, unit->pou->span,
             "write it without recursion",
             "the %s '%s' calls itself: %s",
             unit->pou->kind == POU_PROGRAM ? "program" : "function",
             unit->name->spelling, text_str(&words));
    text_release(&words);
}

static void too_deep(struct walk *walk, const struct unit *unit)
{
    diag_add(walk->draft->diags, DIAG_ERROR, unit->pou->span,
             "call fewer functions inside one another",
             "functions call one another more than %d deep", MAX_CALLS);
}

/* A unit that was seen before keeps its depth, so that neither a long chain
 * nor the order of the functions hides one that is too deep. */
static void walk_calls(struct walk *walk, struct unit *unit)
{
    if (unit->state == SYMBOL_OPEN) {
        circle(walk, unit);
        return;
    }
    if (!unit->walked)
        return;
    if (walk->path.n >= MAX_CALLS) {
        too_deep(walk, unit);
        return;
    }
    unit->state = SYMBOL_OPEN;
    vec_push(&walk->path, unit);
    for (size_t i = 0; i < unit->calls.n; i++) {
        const struct unit *called = unit->calls.at[i];

        walk_calls(walk, unit->calls.at[i]);
        unit->reads_globals |= called->reads_globals;
        if (called->call_depth >= unit->call_depth)
            unit->call_depth = called->call_depth + 1;
    }
    walk->path.n--;
    unit->state = SYMBOL_DONE;
    unit->walked = false;
    if (unit->call_depth == MAX_CALLS)
        too_deep(walk, unit);
}

void control_finish(struct draft *draft)
{
    struct walk walk = {.draft = draft};

    for (size_t i = 0; i < draft->units.n; i++)
        walk_calls(&walk, draft->units.at[i]);
    vec_release(&walk.path);
    for (size_t i = 0; i < draft->units.n; i++)
        if (draft->units.at[i]->review_call.file &&
            draft->units.at[i]->reads_globals)
            diag_add(draft->diags, DIAG_ERROR,
                     draft->units.at[i]->review_call,
                     "write the expression out",
                     "'%s' uses global variables, so its result does not "
                     "depend on its inputs alone",
                     draft->units.at[i]->name->spelling);
}
