#include "check/machine.h"

#include <string.h>

#include "check/expr.h"
#include "check/resolve.h"
#include "check/slots.h"
#include "check/stmt.h"
#include "check/typing.h"
#include "check/unit.h"

static const enum slot_home homes[] = {[TREE_WIRING_IN] = SLOT_WIRING_IN,
                                       [TREE_WIRING_OUT] = SLOT_WIRING_OUT,
                                       [TREE_MECHANISM] = SLOT_MACHINE,
                                       [TREE_RECORDER] = SLOT_RECORDER};

/* ---- declarations ---- */

static bool section_fits(struct draft *draft,
                         const struct tree_var_block *block)
{
    for (const struct tree_var *var = block->vars.first; var;
         var = var->next)
        if (var->location) {
            diag_add(draft->diags, DIAG_ERROR, var->located, "leave AT out",
                     "only variables of control text have a "
                     "place at the terminals");
            return false;
        }
    if (block->section == TREE_VAR && !block->retain && !block->non_retain)
        return true;
    diag_add(draft->diags, DIAG_ERROR, block->span,
             "write VAR; what stands here keeps its value without power",
             "only VAR and VAR CONSTANT stand in a review text");
    return false;
}

/* Each value of it, but none of an instance. */
static void mark_start(struct draft *draft, const struct type *type,
                       uint32_t slot)
{
    if (type_elementary(type))
        draft->slots.at[slot].start = 0;
    for (uint32_t i = 0; i < type->n_fields; i++)
        mark_start(draft, type->fields[i].type,
                   slot + type->fields[i].offset);
    for (uint32_t i = 0; type->kind == TYPE_ARRAY && i < type->size;
         i += type->element->size)
        mark_start(draft, type->element, slot + i);
}

/* Machine variables without := begin with any value. */
static void mark_starts(struct draft *draft, const struct tree_body *body,
                        uint32_t base)
{
    for (const struct tree_var_block *block = body->blocks.first; block;
         block = block->next)
        for (const struct tree_var *var = block->vars.first; var;
             var = var->next) {
            const struct symbol *symbol =
                scope_find(&draft->review, var->name);

            if (!symbol || symbol->kind != SYMBOL_VARIABLE ||
                var->initial || symbol->constant ||
                symbol->home != SLOT_MACHINE ||
                symbol->variable.index < base ||
                symbol->variable.index + symbol->type->size >
                    draft->slots.n)
                continue;
            mark_start(draft, symbol->type, symbol->variable.index);
        }
}

static void place_symbols(struct draft *draft, size_t from,
                          enum slot_home home, uint32_t owner)
{
    uint32_t base = (uint32_t)draft->slots.n;

    for (size_t i = from; i < draft->review.all.n; i++) {
        struct symbol *symbol = draft->review.all.at[i];

        symbol->variable.base = CODE_GLOBAL;
        symbol->variable.index += base;
        symbol->home = home;
        symbol->owner = owner;
    }
}

static void declare_variables(struct draft *draft,
                              const struct tree_body *body, uint32_t owner)
{
    struct unit_vars vars = {.scope = &draft->review};
    struct slot like = {.home = homes[body->kind], .span = body->span};
    size_t from = draft->review.all.n;
    uint32_t base = (uint32_t)draft->slots.n;
    const char *path =
        body->kind == TREE_RECORDER ? body->name->name->spelling : "";

    for (const struct tree_var_block *block = body->blocks.first; block;
         block = block->next)
        if (section_fits(draft, block))
            unit_section(draft, &vars, block);
    place_symbols(draft, from, like.home, owner);
    if (!vars.mistaken &&
        slots_unfold_rows(draft, vars.rows.at, vars.rows.n, path, &like))
        mark_starts(draft, body, base);
    else
        draft->unlaid = true;
    vec_release(&vars.rows);
}

void machine_declare(struct draft *draft)
{
    uint32_t counts[4] = {0};

    for (const struct tree_body *body = draft->run->review.bodies.first;
         body; body = body->next) {
        uint32_t owner = counts[body->kind]++;

        if (body->name)
            scope_add(&draft->bodies, draft->arena, draft->diags,
                      &(struct symbol){.name = body->name->name,
                                       .kind = SYMBOL_BODY,
                                       .span = body->name->span,
                                       .home = homes[body->kind],
                                       .index = owner});
        declare_variables(draft, body, owner);
    }
}

/* ---- movements ---- */

static bool times(struct draft *draft, const struct tree_movement *tree,
                  struct movement *out)
{
    const struct type *time = draft->types.time;

    out->upper = -1;
    out->timed = tree->lower || tree->upper;
    if (tree->lower &&
        !typing_constant(draft, NULL, tree->lower, time, &out->lower))
        return false;
    if (tree->upper &&
        !typing_constant(draft, NULL, tree->upper, time, &out->upper))
        return false;
    if (out->lower < 0 || (tree->upper && out->upper < out->lower)) {
        diag_add(draft->diags, DIAG_ERROR,
                 (out->lower < 0 ? tree->lower : tree->upper)->span,
                 "write IN shortest .. longest",
                 "a movement cannot take a time below zero, nor longest "
                 "less than shortest");
        return false;
    }
    if (out->timed && out->lower < draft->model->scan)
        diag_add(
            draft->diags, DIAG_WARNING, tree->lower->span,
            "a shorter scan shows such a movement more exactly",
            "this movement may take less than one scan (T#%lldms): the "
            "review sees one position per scan",
            (long long)draft->model->scan);
    return true;
}

static bool moved_variable(struct env *env, const struct tree_path *path,
                           struct found *found)
{
    if (!resolve_path(env, path, NULL, found))
        return false;
    if (found_single(found) && !found->control && !found->member &&
        found->root->home == SLOT_MACHINE &&
        !found->symbol->constant)
        return true;
    diag_add(env->draft->diags, DIAG_ERROR, path->span,
             "name a variable that a MECHANISM declares with VAR",
             "MOVES takes a machine variable, '%s' is none",
             draft_words(env->draft, path->span));
    return false;
}

static void check_movement(struct env *env,
                           const struct tree_movement *tree)
{
    struct draft *draft = env->draft;
    struct movement movement = {.span = tree->span};
    struct found found;
    bool good = moved_variable(env, tree->variable, &found);

    if (tree->condition)
        movement.condition = expr_condition(env, tree->condition);
    if (!good ||
        !typing_constant(draft, &draft->review, tree->from, found.type,
                         &movement.from) ||
        !typing_constant(draft, &draft->review, tree->to, found.type,
                         &movement.to) ||
        !times(draft, tree, &movement))
        return;
    if (movement.from == movement.to) {
        diag_add(draft->diags, DIAG_ERROR, tree->to->span,
                 "name the value that it moves to",
                 "this movement ends where it begins");
        return;
    }
    movement.slot = found.variable.index;
    vec_push(&draft->movements, movement);
}

/* ---- bodies ---- */

static void append(struct draft *draft, struct body *body,
                   const struct code_stmt *stmts, uint32_t count)
{
    struct code_stmt *all = arena_array(
        draft->arena, (size_t)body->n_stmts + count, sizeof *all);

    if (body->n_stmts)
        memcpy(all, body->stmts, body->n_stmts * sizeof *all);
    if (count)
        memcpy(all + body->n_stmts, stmts, count * sizeof *all);
    body->stmts = all;
    body->n_stmts += count;
}

static void check_wiring(struct draft *draft, const struct tree_body *tree)
{
    bool in = tree->kind == TREE_WIRING_IN;
    struct env env = {.draft = draft, .frame = MODEL_NONE};
    struct body *body =
        in ? &draft->model->wiring_in : &draft->model->wiring_out;
    uint32_t count;
    const struct code_stmt *stmts;

    env.text = in ? TEXT_WIRING_IN : TEXT_WIRING_OUT;
    stmts = stmt_check(&env, tree->body.first, &count);
    append(draft, body, stmts, count);
    if (!body->span.file)
        body->span = tree->span;
}

static void check_named(struct draft *draft, const struct tree_body *tree,
                        uint32_t owner, struct body *body)
{
    struct env env = {.draft = draft, .frame = MODEL_NONE, .owner = owner};

    env.text =
        tree->kind == TREE_MECHANISM ? TEXT_MECHANISM : TEXT_RECORDER;
    body->name = tree->name->name;
    body->span = tree->span;
    for (const struct tree_movement *at = tree->movements.first; at;
         at = at->next)
        check_movement(&env, at);
    body->stmts = stmt_check(&env, tree->body.first, &body->n_stmts);
}

void machine_bodies(struct draft *draft)
{
    for (const struct tree_body *tree = draft->run->review.bodies.first;
         tree; tree = tree->next) {
        struct body body = {0};

        if (tree->kind == TREE_WIRING_IN || tree->kind == TREE_WIRING_OUT)
            check_wiring(draft, tree);
        if (tree->kind != TREE_MECHANISM)
            continue;
        check_named(draft, tree, (uint32_t)draft->mechanisms.n, &body);
        vec_push(&draft->mechanisms, body);
    }
}

void machine_recorders(struct draft *draft)
{
    for (const struct tree_body *tree = draft->run->review.bodies.first;
         tree; tree = tree->next) {
        struct body body = {0};

        if (tree->kind != TREE_RECORDER)
            continue;
        check_named(draft, tree, (uint32_t)draft->recorders.n, &body);
        vec_push(&draft->recorders, body);
    }
}
