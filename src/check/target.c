#include "check/target.h"

#include "check/alias.h"
#include "check/function.h"
#include "check/inside.h"
#include "check/rights.h"
#include "check/spread.h"
#include "check/told.h"

static bool refuse(struct env *env, struct span span, const char *hint,
                   const char *what, const struct symbol *symbol)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             draft_spelling(env->draft, symbol->name, span), what);
    return false;
}

/* Control variables that a text touches. */
struct touch {
    struct draft *draft;
    struct inner done;
};

static void touch_slot(void *context, uint32_t slot)
{
    struct touch *touch = context;

    if (slot < touch->draft->uses.n)
        inside_done(&touch->draft->uses.at[slot], &touch->done);
}

/* Of a variable, or of these bits of it alone. */
static struct inner reading(uint64_t bits, struct span span)
{
    return (struct inner){.read = span, .bits_read = bits};
}

static struct inner writing(uint64_t bits, struct span span)
{
    return (struct inner){.written = span,
                          .bits_written = bits,
                          .whole_written = !bits};
}

/* Notes all the slots of a variable of a program or a global that can be
 * meant, those of a VAR_IN_OUT for its callers, and those of a block for its
 * instances. */
static void touch_all(struct env *env, const struct code_variable *variable,
                      const struct type *type, struct inner done)
{
    struct touch touch = {env->draft, done};
    uint32_t size = type ? type->size : 1, first = variable->index;

    if (variable->base == CODE_IN_OUT) {
        alias_touch(env, variable, size, done);
        return;
    }
    if (variable->base == CODE_LOCAL && env->frame == MODEL_NONE) {
        if (inside_has(env->unit))
            inside_touch(env->draft, env->unit, variable, size, done);
        return;
    }
    if (variable->base == CODE_LOCAL)
        first += env->frame;
    spread_visit(variable, size, first, touch_slot, &touch);
}

void target_note_read(struct env *env, struct code_variable variable,
                      const struct type *type, struct span span)
{
    touch_all(env, &variable, type, reading(0, span));
}

static uint64_t bits_of(const struct found *found)
{
    return found->bit && !found->letter ? UINT64_C(1) << found->index : 0;
}

void target_note_found(struct env *env, const struct found *found,
                       struct span span)
{
    touch_all(env, &found->variable, found->type,
              reading(bits_of(found), span));
}

void target_note_masked(struct env *env, const struct code_expr *expr)
{
    const struct code_expr *word, *mask;

    if (!expr || expr->op != CODE_BIT_AND)
        return;
    word = expr->left->op == CODE_VARIABLE ? expr->left : expr->right;
    mask = word == expr->left ? expr->right : expr->left;
    if (word->op == CODE_VARIABLE && mask->op == CODE_CONST)
        touch_all(env, &word->variable, word->type,
                  reading((uint64_t)mask->value, expr->span));
}

/* The input that begins there in the frame. */
static const struct symbol *input_at(const struct unit *unit, uint32_t offset)
{
    for (size_t i = 0; i < unit->scope.all.n; i++) {
        const struct symbol *symbol = unit->scope.all.at[i];

        if (symbol->section == TREE_VAR_INPUT &&
            symbol->variable.index == offset)
            return symbol;
    }
    return NULL;
}

bool target_gives(struct env *env, const struct unit *unit,
                  const struct code_stmt *call)
{
    for (uint32_t i = 0; i < call->n_args; i++) {
        const struct code_arg *arg = &call->args[i];
        const struct symbol *symbol = input_at(unit, arg->parameter);
        struct code_variable input;

        if (arg->kind != ARG_INPUT || env->text != TEXT_CONTROL)
            continue;
        if (symbol && symbol->at_input) {
            diag_add(env->draft->diags, DIAG_ERROR, call->span,
                     "leave it out of the call",
                     "'%s' stands at the terminals: its value comes from "
                     "there",
                     symbol->name->spelling);
            return false;
        }
        input = code_behind(call->instance, arg->parameter);
        touch_all(env, &input, arg->target_type, writing(0, call->span));
    }
    return true;
}

/* ---- control text ---- */

/* The inputs of a block or a function are copies of its own. */
static bool is_input(const struct env *env, const struct found *found)
{
    return found->symbol->at_input ||
           (!found->member && found->symbol->section == TREE_VAR_INPUT &&
            env->unit->pou->kind == POU_PROGRAM &&
            !env->unit->called.file);
}

bool target_kept(struct draft *draft, enum kept kept, struct span span,
                 const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span,
             kept == KEPT_CONSTANT
                 ? "take CONSTANT away, or assign another variable"
                 : "copy it into a VAR and assign that",
             kept == KEPT_CONSTANT ? "'%s' is a CONSTANT"
                                   : "'%s' is an input: it is only read here",
             name->spelling);
    return false;
}

static bool control_target(struct env *env, const struct tree_path *path,
                           struct found *found)
{
    const struct symbol *symbol = found->symbol;

    found->kept = symbol->constant        ? KEPT_CONSTANT
                  : is_input(env, found) ? KEPT_INPUT
                                         : KEPT_NOT;
    if (found->kept != KEPT_NOT)
        return env->lends ||
               target_kept(env->draft, found->kept, path->span,
                           symbol->name);
    if (!found->member && symbol->section == TREE_VAR_INPUT)
        told_seen(env->draft, TOLD_INPUT, path->span);
    if (found->member && symbol->section != TREE_VAR_INPUT)
        return refuse(env, path->span, "assign inputs of the block only",
                      "is given by the block itself", symbol);
    if (!env->lends)
        touch_all(env, &found->variable, found->type,
                  writing(bits_of(found), path->span));
    return true;
}

/* ---- review texts ---- */

static const char *const may_assign[TEXT_KINDS] = {
    [TEXT_WIRING_IN] =
        "WIRING IN assigns program inputs and its own relays",
    [TEXT_WIRING_OUT] = "WIRING OUT assigns actuators and its own relays",
    [TEXT_MECHANISM] = "a MECHANISM assigns machine variables",
    [TEXT_RECORDER] = "a RECORDER assigns its own variables"};

static bool is_own(const struct env *env, const struct symbol *root)
{
    static const enum slot_home homes[TEXT_KINDS] = {
        [TEXT_WIRING_IN] = SLOT_WIRING_IN,
        [TEXT_WIRING_OUT] = SLOT_WIRING_OUT,
        [TEXT_MECHANISM] = SLOT_MACHINE,
        [TEXT_RECORDER] = SLOT_RECORDER};

    return root &&
           (root->kind == SYMBOL_VARIABLE ||
            root->kind == SYMBOL_INSTANCE) &&
           root->home == homes[env->text] &&
           (env->text != TEXT_RECORDER || root->owner == env->owner);
}

static bool not_here(struct env *env, const struct tree_path *path,
                     const struct symbol *symbol)
{
    const char *hint = may_assign[env->text];

    if (symbol->kind == SYMBOL_CONTROL || symbol->kind == SYMBOL_CONTACT)
        hint = "a control is moved by the hand only: narrow it with an "
               "assumption, or assign a variable of this text";
    diag_add(env->draft->diags, DIAG_ERROR, path->span, hint,
             "%s cannot assign '%s'", rights_text(env->text),
             symbol->name->spelling);
    return false;
}

static bool wiring_in_target(struct env *env, const struct tree_path *path,
                             struct found *found)
{
    const struct symbol *symbol =
        scope_find(&env->draft->review, path->parts.first->name);
    struct found any;

    if (symbol && !path->parts.first->next && !symbol->unit &&
        !resolve_candidates(env->draft, path->parts.first->name, &any))
        return not_here(env, path, symbol);
    if (!resolve_control_bit(env->draft, path, found))
        return false;
    if (found->kind != FOUND_VARIABLE || found_inside(env->draft, found))
        return not_here(env, path, found->symbol);
    if (found->symbol->constant)
        return refuse(env, path->span, "assign a program input",
                      "is a CONSTANT", found->symbol);
    for (uint32_t i = 0; i < found->type->size; i++)
        draft_note(&env->draft->uses.at[found->variable.index + i].wired,
                   path->span);
    return true;
}

static bool review_target(struct env *env, const struct tree_path *path,
                          struct found *found)
{
    const struct symbol *symbol =
        scope_find(&env->draft->review, path->parts.first->name);
    struct actuator *actuator;

    if (env->text == TEXT_WIRING_IN && !is_own(env, symbol))
        return wiring_in_target(env, path, found);
    if (!resolve_bit(env, path, NULL, found))
        return false;
    if (env->text == TEXT_WIRING_OUT && found->kind == FOUND_SYMBOL &&
        found->symbol->kind == SYMBOL_ACTUATOR) {
        actuator = &env->draft->actuators.at[found->symbol->index];
        actuator->wired = true;
        found->kind = FOUND_VARIABLE;
        found->variable =
            (struct code_variable){
        .base = CODE_GLOBAL, .index = actuator->slot};
        found->type = actuator->type;
        return true;
    }
    if (found->kind == FOUND_SYMBOL || found->control ||
        !is_own(env, found->root))
        return not_here(env, path, found->symbol);
    if (found->symbol->constant)
        return refuse(env, path->span, "take CONSTANT away",
                      "is a CONSTANT", found->symbol);
    if (found->member && found->symbol->section != TREE_VAR_INPUT)
        return refuse(env, path->span, "assign inputs of the block only",
                      "is given by the block itself", found->symbol);
    return true;
}

static bool is_variable(struct env *env, const struct tree_path *path,
                        const struct found *found)
{
    if (found->kind == FOUND_VARIABLE)
        return true;
    if (found->kind == FOUND_INSTANCE)
        return refuse(env, path->span,
                      "call it, or assign one of its "
                      "inputs",
                      "is an instance of a block", found->symbol);
    return refuse(env, path->span, "assign a variable", "is not a variable",
                  found->symbol);
}

static bool is_counter(const struct env_loop *at, const struct found *found)
{
    return at->counter && at->counter->base == found->variable.base &&
           at->counter->index == found->variable.index;
}

/* The control variable of a loop is not assigned in it: the standard leaves
 * open what that does. */
static bool counts_no_loop(struct env *env, const struct tree_path *path,
                           const struct found *found)
{
    const struct env_loop *at = env->loop;

    while (at && !is_counter(at, found))
        at = at->outer;
    if (!at)
        return true;
    refuse(env, path->span,
           "leave early with EXIT, or count in a WHILE with a variable of "
           "its own",
           "counts the passes of a loop around it and is assigned in it",
           found->symbol);
    diag_also(env->draft->diags, at->span, "this is the loop");
    return false;
}

bool target_resolve(struct env *env, const struct tree_path *path,
                    struct found *found)
{
    if (!target_bit(env, path, found))
        return false;
    if (found->letter)
        return refuse(env, path->span,
                      "give it to a variable, and that to the letter in a "
                      "line of its own",
                      "is not handed over by its letters", found->symbol);
    return !found->bit ||
           refuse(env, path->span,
                  "give it to a BOOL, and that to the bit in a line of its "
                  "own",
                  "is not handed over by its bits", found->symbol);
}

bool target_bit(struct env *env, const struct tree_path *path,
                struct found *found)
{
    if (env->text != TEXT_CONTROL)
        return review_target(env, path, found) &&
               is_variable(env, path, found) &&
               counts_no_loop(env, path, found);
    return resolve_bit(env, path, NULL, found) &&
           is_variable(env, path, found) &&
           control_target(env, path, found) &&
           counts_no_loop(env, path, found);
}

/* A standard function, whose name no variable has. */
static bool names_function(const struct env *env,
                           const struct tree_path *path)
{
    const struct name *name = path->parts.first->name;
    const struct scope *own = env->text == TEXT_CONTROL ? &env->unit->scope
                                                        : &env->draft->review;

    return !path->parts.first->next && !scope_find(own, name) &&
           !scope_find(&env->draft->globals, name) &&
           function_known(env->draft, name);
}

bool target_instance(struct env *env, const struct tree_path *path,
                     struct found *found)
{
    struct symbol *unit;

    unit = path->parts.first->next ? NULL
                                   : scope_find(&env->draft->unit_scope,
                                                path->parts.first->name);
    if (unit && unit->unit->pou->kind == POU_FUNCTION)
        return refuse(env, path->span,
                      "use its result: variable := function (...)",
                      "is a function", unit);
    if (unit && unit->unit->pou->kind == POU_PROGRAM)
        return refuse(env, path->span,
                      "leave it to the control text: a program is called in "
                      "a line of its own of another PROGRAM",
                      "is a program", unit);
    if (!unit && names_function(env, path)) {
        diag_add(env->draft->diags, DIAG_ERROR, path->span,
                 "use its result: variable := function (...)",
                 "'%s' is a function", path->parts.first->name->spelling);
        return false;
    }
    if (!resolve_path(env, path, NULL, found))
        return false;
    if (found->kind == FOUND_VARIABLE && found->type->remembers)
        return refuse(env, path->span, "name the one that is called",
                      "holds instances of blocks and is none itself",
                      found->symbol);
    if (found->kind != FOUND_INSTANCE)
        return refuse(env, path->span,
                      "call an instance of a function "
                      "block, or assign with :=",
                      "is not a block and cannot be called", found->symbol);
    if (env->text == TEXT_CONTROL ? !found->member
                                  : is_own(env, found->root))
        return true;
    return refuse(env, path->span,
                  "call instances that this text declares itself",
                  "belongs to another text", found->symbol);
}
