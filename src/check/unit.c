#include "check/unit.h"

#include <string.h>

#include "base/ensure.h"
#include "base/text.h"
#include "check/controller.h"
#include "check/instance.h"
#include "check/missing.h"
#include "check/need.h"
#include "check/place.h"
#include "check/slots.h"
#include "check/standard.h"
#include "check/start.h"
#include "check/typing.h"
#include "check/widening.h"
#include "check/wording.h"
#include "check/unknown.h"
#include "lang/place.h"

enum { MAX_NESTING = 64, MOST_BITS = 64 };

/* ---- names ---- */

static struct unit *new_unit(struct draft *draft, const struct name *name)
{
    struct unit *unit = ARENA_NEW(draft->arena, struct unit);

    unit->name = name;
    unit->pou = ARENA_NEW(draft->arena, struct code_pou);
    unit->pou->name = name;
    vec_push(&draft->units, unit);
    return unit;
}

static void enter_tree(struct draft *draft, const struct tree_pou *tree)
{
    static const int kinds[] = {POU_PROGRAM, POU_BLOCK, POU_FUNCTION};
    struct symbol *symbol = scope_find(&draft->unit_scope,
                                       tree->name->name);

    if (symbol) {
        diag_add(draft->diags, DIAG_ERROR, tree->name->span,
                 "leave one of the two texts out, or give one of the blocks "
                 "another name",
                 "the text of '%s' is there twice",
                 tree->name->name->spelling);
        diag_also(draft->diags, symbol->span, "the first stands here");
        return;
    }
    symbol = scope_put(&draft->unit_scope, draft->arena,
                       &(struct symbol){.name = tree->name->name,
                                        .kind = SYMBOL_UNIT,
                                        .span = tree->name->span});
    symbol->unit = new_unit(draft, tree->name->name);
    symbol->unit->tree = tree;
    symbol->unit->pou->kind = kinds[tree->kind];
    symbol->unit->pou->span = tree->name->span;
}

void unit_enter(struct draft *draft)
{
    struct unit *unit;

    draft->unit_named = unit_named;
    for (const struct tree_pou *tree = draft->run->pous.first; tree;
         tree = tree->next)
        enter_tree(draft, tree);
    for (size_t i = 0; standard_name(i); i++) {
        const struct name *name = names_of(draft->names, standard_name(i));

        if (scope_find(&draft->unit_scope, name))
            continue; /* a text of that name stands for it */
        unit = new_unit(draft, name);
        standard_declare(draft, unit, i);
        scope_put(&draft->unit_scope, draft->arena,
                  &(struct symbol){
                      .name = name, .kind = SYMBOL_UNIT, .unit = unit});
    }
}

/* ---- variables ---- */

static bool complain(struct draft *draft, struct unit_vars *vars,
                     struct span span, const char *hint, const char *what)
{
    vars->mistaken = true;
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
    return false;
}

static bool no_terminals(struct draft *draft, struct unit_vars *vars,
                         const struct tree_var *var)
{
    return complain(draft, vars, var->located,
                    "declare it in a program, a function block or as "
                    "VAR_GLOBAL",
                    "a function has no place at the terminals");
}

static bool location_fits(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var, struct symbol *symbol)
{
    char area = var->location[1];

    symbol->location = var->location;
    symbol->at_input = area == 'I' || area == 'i';
    symbol->at_output = area == 'Q' || area == 'q';
    if (vars->all_temp)
        return no_terminals(draft, vars, var);
    if (symbol->section == TREE_VAR || symbol->section == TREE_VAR_GLOBAL ||
        symbol->section == TREE_VAR_INPUT ||
        symbol->section == TREE_VAR_OUTPUT)
        return true;
    return complain(draft, vars, var->located, "declare it with VAR",
                    "AT %... stands only with variables of a program and "
                    "globals");
}

static void add_row(struct unit_vars *vars, const struct symbol *symbol,
                    const struct tree_var_block *block)
{
    bool instance = symbol->kind == SYMBOL_INSTANCE;
    struct code_frame_var row = {.name = symbol->name,
                                 .type = instance ? NULL : symbol->type,
                                 .offset = symbol->variable.index,
                                 .initial = symbol->value,
                                 .initials = symbol->values,
                                 .retain = block->retain,
                                 .constant = symbol->constant,
                                 .span = symbol->span};

    row.temp = vars->all_temp || block->section == TREE_VAR_TEMP;
    if (instance)
        row.pou = symbol->unit->pou;
    vec_push(&vars->rows, row);
}

/* An instance, or a variable in which one lies. */
static bool instance_fits(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var,
                          const struct symbol *symbol)
{
    enum tree_section section = symbol->section;

    if (section == TREE_VAR_IN_OUT)
        return true;
    if (vars->all_temp || section == TREE_VAR_TEMP)
        return complain(draft, vars, var->span,
                        "declare it in a program or "
                        "function block, with VAR",
                        "an instance of a block must be remembered");
    if (section != TREE_VAR && section != TREE_VAR_GLOBAL &&
        section != TREE_VAR_OUTPUT)
        return complain(draft, vars, var->span,
                        "hand it over as VAR_IN_OUT, or its outputs one by "
                        "one",
                        "an instance of a block is not copied");
    if (symbol->constant)
        return complain(draft, vars, var->span, "leave CONSTANT out",
                        "an instance of a block changes when it is called");
    if (var->location)
        return complain(draft, vars, var->span, "leave AT out",
                        "an instance of a block has no place at the "
                        "terminals");
    return true;
}

/* Takes so many slots of the frame, or a VAR_IN_OUT of so many. */
static bool take_slots(struct draft *draft, struct unit_vars *vars,
                       const struct tree_var *var, struct symbol *symbol,
                       uint32_t size)
{
    if (symbol->section == TREE_VAR_IN_OUT) {
        symbol->variable.base = CODE_IN_OUT;
        symbol->variable.index = vars->n_in_out++;
        vec_push(&vars->in_out_size, size);
        return !var->initial ||
               complain(draft, vars, var->span, "leave the value out",
                        "a VAR_IN_OUT has no value of its own");
    }
    if (vars->size + (uint64_t)size > DRAFT_MAX_SLOTS)
        return complain(draft, vars, var->span,
                        "review fewer elements or instances at once",
                        "too many variables with all instances unfolded");
    vars->size += size;
    return true;
}

/* What stands behind := and behind BEGIN. */
static const int64_t *values_of(struct draft *draft, struct unit_vars *vars,
                                const struct tree_var *var,
                                const struct type *type)
{
    int64_t *values = typing_values(draft, vars->scope, var->initial, type);

    return values && start_values(draft, vars->scope, var->starts, type,
                                  values)
               ? values : NULL;
}

static bool declare_instance(struct draft *draft, struct unit_vars *vars,
                             const struct tree_var *var, struct unit *unit,
                             struct symbol *symbol)
{
    if (unit->pou->kind != POU_BLOCK || var->type->low)
        return complain(draft, vars, var->type->span,
                        "name a function block or a type",
                        "this is neither a type nor a function block");
    if (!instance_fits(draft, vars, var, symbol))
        return false;
    symbol->kind = SYMBOL_INSTANCE;
    symbol->unit = unit;
    symbol->type = instance_type(draft, unit);
    if (!take_slots(draft, vars, var, symbol, unit->pou->size))
        return false;
    if (var->initial || var->starts)
        symbol->values = values_of(draft, vars, var, symbol->type);
    return !(var->initial || var->starts) || symbol->values;
}

static bool declare_value(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var, struct symbol *symbol)
{
    const struct type *type = symbol->type;

    symbol->value = type->initial;
    symbol->begins = var->initial != NULL;
    if (type->remembers && !instance_fits(draft, vars, var, symbol))
        return false;
    if (!take_slots(draft, vars, var, symbol, type->size))
        return false;
    if (!type_elementary(type)) {
        symbol->values = values_of(draft, vars, var, type);
        if (!symbol->values)
            return false;
    } else if (var->initial &&
               !typing_constant(draft, vars->scope, var->initial, type,
                                &symbol->value)) {
        return false;
    }
    if (vars->control && !var->initial &&
        !controller_begins(draft, type, var->span, &symbol->value))
        return false;
    if (symbol->constant && !var->initial)
        return complain(draft, vars, var->span, "write := and its value",
                        "a CONSTANT needs a value");
    return true;
}

/* An instance by whatever name of its block, or a value. */
static bool declare_typed(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var, struct symbol *symbol)
{
    struct unit *unit;
    bool known = false;

    if (var->type->kind == TREE_NAMED) {
        unit = unit_named(draft, var->type->name, var->type->span, &known);
        if (known)
            return unit && declare_instance(draft, vars, var, unit, symbol);
        if (vars->control && missing_declared(draft, var, symbol))
            return false;
    }
    draft->may_lack_bounds = vars->called &&
                             (symbol->section == TREE_VAR_IN_OUT ||
                              symbol->section == TREE_VAR_INPUT);
    symbol->type = typing_of(draft, vars->scope, var->type);
    draft->may_lack_bounds = false;
    if (!symbol->type)
        return false;
    if (symbol->type->kind == TYPE_BLOCK)
        return declare_instance(draft, vars, var, symbol->type->unit,
                                symbol);
    return declare_value(draft, vars, var, symbol) &&
           (!var->location || location_fits(draft, vars, var, symbol));
}

static void declare_bit(struct draft *draft, struct unit_vars *vars,
                        const struct symbol *word, uint32_t bit)
{
    const struct name *name = names_of(
        draft->names, arena_printf(draft->arena, "%s.%u",
                                   draft_spelling(draft, word->name,
                                                  word->span), bit));
    struct symbol symbol = {
        .name = name,
        .kind = SYMBOL_VARIABLE,
        .span = word->span,
        .type = draft->types.boolean,
        .section = TREE_VAR,
        .variable = {.base = CODE_LOCAL, .index = vars->size},
        .hidden = true,
        .location = word->location};
    struct code_frame_var row = {.name = name,
                                 .type = draft->types.boolean,
                                 .offset = vars->size,
                                 .initial = word->value >> bit & 1};

    vars->size++;
    vec_push(&vars->rows, row);
    scope_put(vars->scope, draft->arena, &symbol);
}

/* Bits that come from outside (partly.h) are BOOLs behind their word. */
static void declare_bits(struct draft *draft, struct unit_vars *vars,
                         struct symbol *symbol)
{
    if (symbol->kind != SYMBOL_VARIABLE ||
        vars->size + MOST_BITS > DRAFT_MAX_SLOTS ||
        symbol->variable.base != CODE_LOCAL || !vars->control ||
        vars->all_temp)
        return;
    symbol->outside = widening_bits(draft, symbol->span);
    for (uint32_t bit = 0; bit < MOST_BITS; bit++)
        if (symbol->outside >> bit & 1)
            declare_bit(draft, vars, symbol, bit);
}

/* A name whose type is wrong is entered too, without a type: what uses it
 * stays silent. */
static void declare_var(struct draft *draft, struct unit_vars *vars,
                        const struct tree_var_block *block,
                        const struct tree_var *var)
{
    struct symbol symbol = {.name = var->name,
                            .kind = SYMBOL_VARIABLE,
                            .span = var->span,
                            .section = block->section,
                            .constant = block->constant,
                            .retain = block->retain};
    bool good;

    /* CONSTANT there means that the block does not assign it: its value is
     * the caller's */
    if (block->section == TREE_VAR_INPUT || block->section == TREE_VAR_IN_OUT)
        symbol.constant = false;

    symbol.variable =
        (struct code_variable){.base = CODE_LOCAL, .index = vars->size};
    if (block->retain &&
        (block->section == TREE_VAR_TEMP || vars->all_temp))
        complain(draft, vars, var->span,
                 "take RETAIN out, or declare it with VAR of a program or "
                 "function block",
                 "RETAIN keeps nothing here: this variable begins anew at "
                 "each call");
    good = declare_typed(draft, vars, var, &symbol);
    if (!good) {
        vars->mistaken = true;
        symbol.kind = SYMBOL_VARIABLE;
        symbol.type = NULL;
    }
    if (!scope_add(vars->scope, draft->arena, draft->diags, &symbol))
        vars->mistaken = true;
    else if (good && symbol.variable.base == CODE_LOCAL)
        add_row(vars, &symbol, block);
    if (good)
        declare_bits(draft, vars, scope_find(vars->scope, var->name));
    if (good && var->place)
        place_declared(draft, var, scope_find(vars->scope, var->name));
}

/* Does the VAR_EXTERNAL say the type that the global has? */
static bool external_fits(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var,
                          const struct symbol *global)
{
    const struct type *type;

    if (global->kind != SYMBOL_VARIABLE || !global->type ||
        global->type->size == 0 || global->type->kind == TYPE_BLOCK)
        return true;
    type = typing_of(draft, vars->scope, var->type);
    if (!type)
        return false;
    if (type_same(type, global->type) ||
        (type_elementary(type) && type_base(type) == type_base(global->type)))
        return true; /* the range of the global counts */
    vars->mistaken = true;
    diag_add(draft->diags, DIAG_ERROR, var->span,
             "write the same type in both places",
             "'%s' is %s here, and the global variable is %s",
             draft_spelling(draft, var->name, var->span),
             wording_type(draft, type), wording_type(draft, global->type));
    diag_also(draft->diags, global->span, "the global variable is this");
    return true;
}

/* The place is that of the global variable, if it is written at all. */
static bool external_stands(struct draft *draft, struct unit_vars *vars,
                            const struct tree_var *var,
                            const struct symbol *global)
{
    const struct name *own =
        global->location ? place_name(draft->names, global->location) : NULL;

    if (!var->location || (own && own == var->place))
        return true;
    complain(draft, vars, var->located,
             "leave AT out here, and write it where VAR_GLOBAL declares it",
             "VAR_EXTERNAL stands where the global variable does");
    diag_also(draft->diags, global->span, "the global variable is this");
    return false;
}

static void declare_external(struct draft *draft, struct unit_vars *vars,
                             const struct tree_var *var)
{
    const struct symbol *global = scope_find(&draft->globals, var->name);
    const struct scope *scopes[1] = {&draft->globals};
    struct symbol copy;

    if (!global) {
        const struct symbol *near = scope_nearest(scopes, 1, var->name);

        complain(draft, vars, var->span,
                 near ? arena_printf(
                            draft->arena, "write '%s'",
                            draft_spelling(draft, near->name, near->span))
                      : "declare it with VAR_GLOBAL, or add the text that "
                        "does",
                 "there is no global variable of this name");
        copy = (struct symbol){
            .name = var->name, .kind = SYMBOL_VARIABLE, .span = var->span};
    } else {
        if (!external_fits(draft, vars, var, global) ||
            !external_stands(draft, vars, var, global))
            vars->mistaken = true;
        copy = *global;
        copy.span = var->span;
        copy.section = TREE_VAR_EXTERNAL;
    }
    if (!scope_add(vars->scope, draft->arena, draft->diags, &copy))
        vars->mistaken = true;
}

/* Another name of a variable at the same place. */
static void declare_shared(struct draft *draft, struct unit_vars *vars,
                           const struct tree_var *var,
                           const struct symbol *other)
{
    struct symbol copy = *other;

    copy.name = var->name;
    copy.span = var->span;
    copy.section = TREE_VAR_EXTERNAL;
    if (var->initial)
        complain(draft, vars, var->span,
                 "write the value where the other is declared",
                 "this is another name of a variable at the same "
                 "place");
    if (!scope_add(vars->scope, draft->arena, draft->diags, &copy))
        vars->mistaken = true;
}

void unit_section(struct draft *draft, struct unit_vars *vars,
                  const struct tree_var_block *block)
{
    const struct symbol *other;

    for (const struct tree_var *var = block->vars.first; var;
         var = var->next)
        if (block->section == TREE_VAR_GLOBAL &&
            !need_global(draft->need, var))
            continue; /* it need not even be readable */
        else if (block->section == TREE_VAR_EXTERNAL)
            declare_external(draft, vars, var);
        else if ((other = place_shared(draft, vars->scope, var)) != NULL &&
                 other->retain == block->retain &&
                 other->constant == block->constant)
            declare_shared(draft, vars, var, other);
        else
            declare_var(draft, vars, block, var);
}

/* ---- POUs ---- */

static bool in_circle(struct draft *draft, struct unit *unit,
                      struct span span)
{
    struct text circle = {0};
    bool seen = false;

    for (size_t i = 0; i < draft->open.n; i++) {
        seen |= draft->open.at[i] == unit;
        if (seen)
            text_printf(&circle, "%s, which holds ",
                        draft->open.at[i]->name->spelling);
    }
    text_printf(&circle, "%s", unit->name->spelling);
    diag_add(draft->diags, DIAG_ERROR, span,
             "take one of the instances out: no controller could hold this",
             "the function block '%s' holds itself: %s",
             unit->name->spelling, text_str(&circle));
    text_release(&circle);
    return true;
}

static void add_result(struct draft *draft, struct unit *unit,
                       struct unit_vars *vars)
{
    struct tree_var_block block = {.section = TREE_VAR};
    struct symbol symbol = {.name = unit->name,
                            .kind = SYMBOL_VARIABLE,
                            .span = unit->tree->name->span,
                            .section = TREE_VAR};

    if (!unit->tree->result) /* nobody can name what it leaves */
        symbol.type = draft->types.boolean;
    else
        symbol.type = typing_of(draft, NULL, unit->tree->result);
    symbol.variable =
        (struct code_variable){.base = CODE_LOCAL, .index = vars->size};
    unit->pou->result = vars->size;
    if (symbol.type && symbol.type->remembers) {
        complain(draft, vars, unit->tree->result->span,
                 "hand it over as VAR_IN_OUT",
                 "an instance of a block is not copied");
        symbol.type = NULL;
    }
    vars->mistaken |= !symbol.type;
    if (symbol.type) {
        vars->size += symbol.type->size;
        symbol.value = symbol.type->initial;
        symbol.values = symbol.type->initials;
        vars->mistaken |= unit->tree->result &&
                          !controller_begins(draft, symbol.type,
                                             unit->tree->result->span,
                                             &symbol.value);
    }
    if (unit->tree->result)
        scope_add(vars->scope, draft->arena, draft->diags, &symbol);
    if (symbol.type)
        add_row(vars, &symbol, &block);
}

static void keep_rows(struct draft *draft, struct unit *unit,
                      struct unit_vars *vars)
{
    size_t bytes = vars->rows.n * sizeof *vars->rows.at;
    struct code_frame_var *rows =
        arena_array(draft->arena, vars->rows.n, sizeof *vars->rows.at);
    uint32_t *sizes =
        arena_array(draft->arena, vars->n_in_out, sizeof *sizes);

    if (bytes)
        memcpy(rows, vars->rows.at, bytes);
    if (vars->n_in_out)
        memcpy(sizes, vars->in_out_size.at, vars->n_in_out * sizeof *sizes);
    unit->pou->vars = rows;
    unit->pou->n_vars = (uint32_t)vars->rows.n;
    unit->pou->size = vars->size;
    unit->pou->n_in_out = vars->n_in_out;
    unit->pou->in_out_size = sizes;
    unit->broken = vars->mistaken;
    vec_release(&vars->rows);
    vec_release(&vars->in_out_size);
}

static void place_function(struct draft *draft, struct unit *unit)
{
    struct slot like = {
        .home = SLOT_FUNCTION, .temp = true, .span = unit->pou->span};

    if (!unit->broken && !slots_unfold(draft, unit, unit->name->spelling,
                                      &like, &unit->pou->frame))
        unit->broken = true;
    vec_push(&draft->functions, unit->pou);
}

static bool holds_constants(const struct tree_var_block *block)
{
    return block->constant && block->section == TREE_VAR;
}

/* What comes from outside in a block is found in programs and globals. */
static bool static_fits(struct draft *draft, struct unit_vars *vars,
                        const struct symbol *symbol)
{
    bool standard = symbol->kind == SYMBOL_INSTANCE && !symbol->unit->tree;

    if (!symbol->type || !symbol->type->remembers || standard)
        return true;
    return complain(draft, vars, symbol->span,
                    "declare it in the caller, and hand it over as "
                    "VAR_IN_OUT",
                    "of blocks, only standard ones are remembered by a "
                    "function in this version");
}

/* VAR_STAT of a function: one slot for all its calls, as a global has, but no
 * name by which another text could reach it. */
static void static_section(struct draft *draft, struct unit *unit,
                           const struct tree_var_block *block,
                           struct unit_vars *frame)
{
    struct unit_vars vars = {.scope = &unit->scope, .control = true};
    struct slot like = {.home = SLOT_GLOBAL, .span = unit->pou->span};
    size_t first = unit->scope.all.n;
    uint32_t base = (uint32_t)draft->slots.n;

    for (const struct tree_var *var = block->vars.first; var; var = var->next)
        if (var->location)
            no_terminals(draft, &vars, var);
    unit_section(draft, &vars, block);
    for (size_t i = first; i < unit->scope.all.n; i++) {
        struct symbol *symbol = unit->scope.all.at[i];

        symbol->variable.base = CODE_GLOBAL;
        symbol->variable.index += base;
        static_fits(draft, &vars, symbol);
    }
    frame->mistaken |= vars.mistaken ||
                       !slots_unfold_rows(draft, vars.rows.at, vars.rows.n,
                                         unit->name->spelling, &like);
    vec_release(&vars.rows);
    vec_release(&vars.in_out_size);
}

/* Constants first: the bounds of an array may stand above them. */
static void declare_sections(struct draft *draft, struct unit *unit,
                             struct unit_vars *vars)
{
    for (int constants = 1; constants >= 0; constants--)
        for (const struct tree_var_block *block = unit->tree->blocks.first;
             block; block = block->next)
            if (block->section == TREE_VAR_GLOBAL ||
                holds_constants(block) != constants ||
                unknown_skips(unit, block->section))
                continue;
            else if (block->is_static && vars->all_temp)
                static_section(draft, unit, block, vars);
            else
                unit_section(draft, vars, block);
}

static void declare(struct draft *draft, struct unit *unit)
{
    struct unit_vars vars = {.scope = &unit->scope, .control = true};
    const struct tree_type *last_tree = draft->last_tree;
    const struct type *last_type = draft->last_type;

    unit->state = SYMBOL_OPEN;
    vec_push(&draft->open, unit);
    vars.all_temp = unit->pou->kind == POU_FUNCTION;
    vars.called = unit->pou->kind != POU_PROGRAM;
    declare_sections(draft, unit, &vars);
    if (unit->pou->kind == POU_FUNCTION)
        add_result(draft, unit, &vars);
    keep_rows(draft, unit, &vars);
    draft->open.n--;
    draft->last_tree = last_tree;
    draft->last_type = last_type;
    unit->state = SYMBOL_DONE;
    if (unit->pou->kind == POU_FUNCTION)
        place_function(draft, unit);
}

struct unit *unit_named(struct draft *draft, const struct name *name,
                        struct span span, bool *known)
{
    struct symbol *symbol = scope_find(&draft->unit_scope, name);

    *known = symbol != NULL;
    if (!symbol)
        return NULL;
    if (symbol->unit->state == SYMBOL_OPEN) {
        in_circle(draft, symbol->unit, span);
        return NULL;
    }
    if (draft->open.n >= MAX_NESTING) {
        diag_add(draft->diags, DIAG_ERROR, span, "nest fewer blocks",
                 "blocks nested more than %d deep", MAX_NESTING);
        return NULL;
    }
    if (symbol->unit->state == SYMBOL_FRESH)
        declare(draft, symbol->unit);
    return symbol->unit;
}

const struct symbol *unit_parameter(const struct unit *unit, size_t number)
{
    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (symbol->hidden || (symbol->section != TREE_VAR_INPUT &&
                               symbol->section != TREE_VAR_IN_OUT &&
                               symbol->section != TREE_VAR_OUTPUT))
            continue;
        if (!number--)
            return symbol;
    }
    return NULL;
}
