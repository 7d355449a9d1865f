#include "check/unit.h"

#include <string.h>

#include "base/ensure.h"
#include "base/text.h"
#include "check/missing.h"
#include "check/need.h"
#include "check/standard.h"
#include "check/typing.h"

enum { MAX_NESTING = 64 };

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

    for (const struct tree_pou *tree = draft->run->pous.first; tree;
         tree = tree->next)
        enter_tree(draft, tree);
    for (unsigned i = STANDARD_TON; i <= STANDARD_RS; i++) {
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

static bool location_fits(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var, struct symbol *symbol)
{
    char area = var->location[1];

    symbol->at_input = area == 'I' || area == 'i';
    symbol->at_output = area == 'Q' || area == 'q';
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
    struct code_frame_var row = {.name = symbol->name,
                                 .type = symbol->type,
                                 .offset = symbol->variable.index,
                                 .initial = symbol->value,
                                 .retain = block->retain,
                                 .constant = symbol->constant,
                                 .span = symbol->span};

    row.temp = vars->all_temp || block->section == TREE_VAR_TEMP;
    if (symbol->kind == SYMBOL_INSTANCE)
        row.pou = symbol->unit->pou;
    vec_push(&vars->rows, row);
}

static bool instance_fits(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var,
                          enum tree_section section)
{
    if (vars->all_temp || section == TREE_VAR_TEMP)
        return complain(draft, vars, var->span,
                        "declare it in a program or "
                        "function block, with VAR",
                        "an instance of a block must be remembered");
    if (section != TREE_VAR && section != TREE_VAR_GLOBAL &&
        section != TREE_VAR_OUTPUT)
        return complain(draft, vars, var->span,
                        "hand over its outputs one by one",
                        "instances of blocks are not handed over in this "
                        "version");
    if (var->type->low || var->initial || var->location)
        return complain(draft, vars, var->span, "leave the value out",
                        "an instance of a block has no value of its own");
    return true;
}

static bool declare_instance(struct draft *draft, struct unit_vars *vars,
                             const struct tree_var *var, struct unit *unit,
                             struct symbol *symbol)
{
    if (!instance_fits(draft, vars, var, symbol->section))
        return false;
    if (unit->pou->kind != POU_BLOCK)
        return complain(draft, vars, var->type->span,
                        "name a function block or a type",
                        "this is neither a type nor a function block");
    symbol->kind = SYMBOL_INSTANCE;
    symbol->unit = unit;
    if (vars->size + (uint64_t)unit->pou->size > DRAFT_MAX_SLOTS)
        return complain(draft, vars, var->span, "use fewer instances",
                        "too many variables with all instances unfolded");
    vars->size += unit->pou->size;
    return true;
}

static bool declare_value(struct draft *draft, struct unit_vars *vars,
                          const struct tree_var *var, struct symbol *symbol)
{
    symbol->type = typing_of(draft, vars->scope, var->type);
    if (!symbol->type)
        return false;
    symbol->value = symbol->type->initial;
    if (symbol->section == TREE_VAR_IN_OUT) {
        symbol->variable.base = CODE_IN_OUT;
        symbol->variable.index = vars->n_in_out++;
        return !var->initial ||
               complain(draft, vars, var->span, "leave the value out",
                        "a VAR_IN_OUT has no value of its own");
    }
    vars->size++;
    if (var->initial && !typing_constant(draft, vars->scope, var->initial,
                                         symbol->type, &symbol->value))
        return false;
    if (symbol->constant && !var->initial)
        return complain(draft, vars, var->span, "write := and its value",
                        "a CONSTANT needs a value");
    return true;
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
                            .constant = block->constant};
    struct unit *unit = NULL;
    bool known = false, good;

    symbol.variable = (struct code_variable){CODE_LOCAL, vars->size};
    if (var->type->name)
        unit = unit_named(draft, var->type->name, var->type->span, &known);
    if (vars->control && !known && missing_declared(draft, var, &symbol))
        good = false;
    else if (known)
        good = unit && declare_instance(draft, vars, var, unit, &symbol);
    else
        good = declare_value(draft, vars, var, &symbol) &&
               (!var->location || location_fits(draft, vars, var, &symbol));
    if (!good) {
        vars->mistaken = true;
        symbol.kind = SYMBOL_VARIABLE;
        symbol.type = NULL;
    }
    if (!scope_add(vars->scope, draft->arena, draft->diags, &symbol))
        vars->mistaken = true;
    else if (good && symbol.variable.base == CODE_LOCAL)
        add_row(vars, &symbol, block);
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
        copy = *global;
        copy.span = var->span;
        copy.section = TREE_VAR_EXTERNAL;
    }
    if (!scope_add(vars->scope, draft->arena, draft->diags, &copy))
        vars->mistaken = true;
}

void unit_section(struct draft *draft, struct unit_vars *vars,
                  const struct tree_var_block *block)
{
    for (const struct tree_var *var = block->vars.first; var;
         var = var->next)
        if (block->section == TREE_VAR_GLOBAL &&
            !need_has(draft->need, var->name))
            continue; /* it need not even be readable */
        else if (block->section == TREE_VAR_EXTERNAL)
            declare_external(draft, vars, var);
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

    symbol.type = typing_of(draft, NULL, unit->tree->result);
    symbol.variable = (struct code_variable){CODE_LOCAL, vars->size};
    unit->pou->result = vars->size++;
    vars->mistaken |= !symbol.type;
    if (symbol.type)
        symbol.value = symbol.type->initial;
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

    if (bytes)
        memcpy(rows, vars->rows.at, bytes);
    unit->pou->vars = rows;
    unit->pou->n_vars = (uint32_t)vars->rows.n;
    unit->pou->size = vars->size;
    unit->pou->n_in_out = vars->n_in_out;
    unit->broken = vars->mistaken;
    vec_release(&vars->rows);
}

static void place_function(struct draft *draft, struct unit *unit)
{
    struct slot like = {
        .home = SLOT_FUNCTION, .temp = true, .span = unit->pou->span};

    if (!unit->broken && !unit_unfold(draft, unit, unit->name->spelling,
                                      &like, &unit->pou->frame))
        unit->broken = true;
    vec_push(&draft->functions, unit->pou);
}

static void declare(struct draft *draft, struct unit *unit)
{
    struct unit_vars vars = {.scope = &unit->scope, .control = true};
    const struct tree_type *last_tree = draft->last_tree;
    const struct type *last_type = draft->last_type;

    unit->state = SYMBOL_OPEN;
    vec_push(&draft->open, unit);
    vars.all_temp = unit->pou->kind == POU_FUNCTION;
    for (const struct tree_var_block *block = unit->tree->blocks.first;
         block; block = block->next)
        if (block->section != TREE_VAR_GLOBAL)
            unit_section(draft, &vars, block);
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

/* ---- slots ---- */

static bool unfold_row(struct draft *draft,
                       const struct code_frame_var *row, const char *path,
                       const struct slot *like)
{
    struct slot slot = *like;
    uint32_t number;
    const char *name = draft_spelling(draft, row->name, row->span);
    const char *own =
        *path ? arena_printf(draft->arena, "%s.%s", path, name) : name;

    slot.retain |= row->retain;
    if (row->pou)
        return unit_unfold_rows(draft, row->pou->vars, row->pou->n_vars,
                                own, &slot);
    slot.path = own;
    slot.type = row->type;
    slot.initial = row->initial;
    slot.temp |= row->temp;
    slot.clock = standard_is_age(row);
    slot.start = MODEL_NONE;
    if (row->span.file)
        slot.span = row->span;
    return draft_slot(draft, &slot, &number);
}

bool unit_unfold_rows(struct draft *draft,
                      const struct code_frame_var *rows, size_t count,
                      const char *path, const struct slot *like)
{
    for (size_t i = 0; i < count; i++)
        if (!unfold_row(draft, &rows[i], path, like))
            return false;
    return true;
}

bool unit_unfold(struct draft *draft, const struct unit *unit,
                 const char *path, const struct slot *like, uint32_t *base)
{
    *base = (uint32_t)draft->slots.n;
    return unit_unfold_rows(draft, unit->pou->vars, unit->pou->n_vars, path,
                            like);
}
