#include "check/leaf.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/loose.h"
#include "check/resolve.h"
#include "check/rights.h"
#include "check/target.h"
#include "check/typing.h"
#include "check/widening.h"

static struct code_expr *refuse(struct env *env, struct span span,
                                const char *hint, const char *what,
                                const struct name *name)
{
    diag_add(env->draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             draft_spelling(env->draft, name, span), what);
    return NULL;
}

static struct code_expr *
variable(struct env *env, const struct found *found, struct span span)
{
    struct code_expr *expr =
        arith_new(env->draft, CODE_VARIABLE, found->type, span);

    expr->variable = found->variable;
    if (env->text == TEXT_CONTROL || found->control)
        target_note_found(env, found, span);
    return expr;
}

static enum thing thing_of(const struct found *found)
{
    if (found->control)
        return THING_PROGRAM;
    switch (found->root->home) {
    case SLOT_WIRING_IN: return THING_RELAY_IN;
    case SLOT_WIRING_OUT: return THING_RELAY_OUT;
    case SLOT_MACHINE: return THING_MACHINE;
    default: return THING_RECORDER;
    }
}

static bool is_later_recorder(const struct env *env,
                              const struct found *found)
{
    return env->text == TEXT_RECORDER && !env->past && !found->control &&
           found->root->home == SLOT_RECORDER &&
           found->root->owner > env->owner;
}

static struct code_expr *known(struct env *env, const struct found *found,
                               int64_t value, struct span span)
{
    struct code_expr *expr =
        arith_constant(env->draft, found->type, value, span);

    if (expr)
        expr->declared = found->symbol->span;
    return expr;
}

static struct code_expr *named_constant(struct env *env,
                                        const struct found *found,
                                        struct span span)
{
    const struct symbol *symbol = found->symbol;

    return known(env, found,
                 symbol->values ? symbol->values[found->part]
                                : symbol->value, span);
}

static uint32_t slot_of(const struct env *env, const struct found *found)
{
    return found->variable.index +
           (found->variable.base == CODE_LOCAL ? env->frame : 0);
}

/* Does the whole variable stay as it begins (wide.h)? */
static bool is_held(const struct env *env, const struct found *found)
{
    bool all = false;

    if (env->text != TEXT_CONTROL || found->variable.base == CODE_IN_OUT ||
        (found->variable.base == CODE_LOCAL && env->frame == MODEL_NONE))
        return false;
    return widening_is_held(env->draft, slot_of(env, found), &all) && all;
}

/* A word of which bits come from outside is read with what these are. */
static struct code_expr *with_outside(struct env *env,
                                      const struct found *found,
                                      struct code_expr *whole)
{
    const struct type *back = loose_bits(env, whole, NULL);

    for (uint32_t bit = 0; bit < 64; bit++) {
        struct found part = *found;
        struct code_expr *with;

        if (!found_outside(env->draft, &part, bit))
            continue;
        with = arith_new(env->draft, CODE_WITH_BIT, type_base(whole->type),
                         whole->span);
        with->left = whole;
        with->right = variable(env, &part, whole->span);
        with->index = bit;
        whole = with;
    }
    return loose_back(env, back, whole);
}

static struct code_expr *
read_variable(struct env *env, const struct found *found, struct span span)
{
    if (is_held(env, found) && !found->member && !found->variable.n_steps &&
        type_elementary(found->type)) {
        uint32_t slot = slot_of(env, found);

        target_note_read(env, found->variable, found->type, span);
        return known(env, found, env->draft->slots.at[slot].initial, span);
    }
    if (found->symbol->constant && found->symbol->kind == SYMBOL_VARIABLE &&
        !found->member && !found->variable.n_steps &&
        type_elementary(found->type))
        return named_constant(env, found, span);
    if (env->text == TEXT_CONTROL)
        return variable(env, found, span);
    if (!rights_read(env, thing_of(found), span))
        return NULL;
    if (is_later_recorder(env, found))
        return refuse(env, span,
                      "move that RECORDER before this one, or "
                      "write PREVIOUS",
                      "belongs to a RECORDER that runs "
                      "later",
                      found->symbol->name);
    return variable(env, found, span);
}

static struct code_expr *bit_or_whole(struct env *env,
                                      const struct found *found,
                                      struct code_expr *whole)
{
    struct code_expr *expr;

    if (whole && !found->bit && whole->op == CODE_VARIABLE &&
        found->type == found->symbol->type && found->symbol->outside)
        return with_outside(env, found, whole);
    if (!whole || !found->bit)
        return whole;
    expr = arith_new(env->draft, CODE_BIT, env->draft->types.boolean,
                     whole->span);
    if (whole->type->kind == TYPE_INTEGER) {
        told_seen(env->draft, TOLD_BITWISE, whole->span);
        whole = loose_made(env, loose_bits_of(env->draft, whole->type),
                           whole);
    }
    expr->left = whole;
    expr->index = found->index;
    return expr;
}

static struct code_expr *simple(struct env *env, enum code_op op,
                                uint32_t index, const struct type *type,
                                struct span span)
{
    struct code_expr *expr = arith_new(env->draft, op, type, span);

    expr->index = index;
    return expr;
}

/* Hands and contacts of the last judging in a MECHANISM. */
static enum code_when when_of(const struct env *env)
{
    return env->text == TEXT_MECHANISM ? CODE_LAST : CODE_NOW;
}

static bool in_wiring(const struct env *env)
{
    return env->text == TEXT_WIRING_IN || env->text == TEXT_WIRING_OUT;
}

static struct code_expr *contact(struct env *env, uint32_t index,
                                 struct span span)
{
    struct draft *draft = env->draft;
    struct code_expr *expr;

    if (!rights_read(env, THING_CONTACT, span))
        return NULL;
    if (in_wiring(env) || env->text == TEXT_MECHANISM)
        draft->contact_used.at[index] = true;
    expr = simple(env, in_wiring(env) ? CODE_CONDUCTS : CODE_CONTACT, index,
                  draft->contacts.at[index].type, span);
    expr->when = when_of(env);
    return expr;
}

static struct code_expr *sensor(struct env *env, uint32_t index,
                                struct span span)
{
    if (!rights_read(env, THING_SENSOR, span))
        return NULL;
    if (in_wiring(env))
        env->draft->sensor_used.at[index] = true;
    return simple(env, in_wiring(env) ? CODE_SENSED : CODE_SENSOR, index,
                  env->draft->types.boolean, span);
}

static struct code_expr *actuator(struct env *env, uint32_t index,
                                  struct span span)
{
    const struct actuator *actuator = &env->draft->actuators.at[index];
    struct code_expr *expr;

    if (!rights_read(env, THING_ACTUATOR, span))
        return NULL;
    expr = simple(env, CODE_VARIABLE, 0, actuator->type, span);
    expr->variable = (struct code_variable){
        .base = CODE_GLOBAL, .index = actuator->slot};
    return expr;
}

static struct code_expr *one_fault(struct env *env, uint32_t number,
                                   struct span span)
{
    const struct fault *fault = &env->draft->faults.at[number];

    if (env->text == TEXT_ON_WHEN && fault->kind != FAULT_IN_MECHANISM)
        return refuse(env, span,
                      "declare it IN MECHANISM, or leave it out: "
                      "faults of a contact or wire act by themselves",
                      "is not a fault IN MECHANISM", fault->name);
    return simple(env, CODE_FAULT, number, env->draft->types.boolean, span);
}

static struct code_expr *fault(struct env *env, const struct symbol *symbol,
                               struct span span)
{
    return rights_read(env, THING_FAULT, span)
               ? one_fault(env, symbol->index, span) : NULL;
}

/* Any of its members, halved so that the expression is not deep. */
static struct code_expr *any_of(struct env *env, const uint32_t *members,
                                uint32_t n, struct span span)
{
    struct code_expr *left, *right, *expr;

    if (n == 1)
        return one_fault(env, members[0], span);
    left = any_of(env, members, n / 2, span);
    right = left ? any_of(env, members + n / 2, n - n / 2, span) : NULL;
    if (!right)
        return NULL;
    expr = arith_new(env->draft, CODE_OR, env->draft->types.boolean, span);
    expr->left = left;
    expr->right = right;
    return expr;
}

static struct code_expr *group(struct env *env, const struct symbol *symbol,
                               struct span span)
{
    const struct cause *cause = &env->draft->causes.at[symbol->index];

    return rights_read(env, THING_FAULT, span) && cause->n_members > 0
               ? any_of(env, cause->members, cause->n_members, span) : NULL;
}

static struct code_expr *word(struct env *env, const struct symbol *symbol,
                              struct span span)
{
    enum thing thing = symbol->index == CODE_POWER     ? THING_POWER
                       : symbol->index == CODE_ELAPSED ? THING_ELAPSED
                                                       : THING_START;

    if (!rights_read(env, thing, span))
        return NULL;
    return simple(env, (enum code_op)symbol->index, 0, symbol->type, span);
}

static struct code_expr *
read_symbol(struct env *env, const struct symbol *symbol, struct span span)
{
    switch (symbol->kind) {
    case SYMBOL_ITEM:
        return arith_constant(env->draft, symbol->type, symbol->value,
                              span);
    case SYMBOL_CONTROL:
        return refuse(env, span,
                      "name one of its contacts, or write "
                      "PRESSED before it for the hand itself",
                      "has several contacts", symbol->name);
    case SYMBOL_CONTACT: return contact(env, symbol->index, span);
    case SYMBOL_SENSOR: return sensor(env, symbol->index, span);
    case SYMBOL_ACTUATOR: return actuator(env, symbol->index, span);
    case SYMBOL_FAULT: return fault(env, symbol, span);
    case SYMBOL_GROUP: return group(env, symbol, span);
    case SYMBOL_WORD: return word(env, symbol, span);
    default:
        return refuse(env, span, "name a variable", "has no value",
                      symbol->name);
    }
}

/* A text where one is wanted, else its number. */
static struct code_expr *letter(struct env *env, const struct found *found,
                                const struct tree_expr *tree,
                                const struct type *wanted)
{
    struct code_expr *number = (struct code_expr *)found->letter;
    const struct elementary *types = &env->draft->types;
    bool text = wanted && wanted->kind == TYPE_OPAQUE;

    target_note_read(env, found->variable, found->type, tree->span);
    return abstract_any(
        env,
        (struct open_place){.kind = OPEN_VALUE,
                            .what = draft_words(env->draft, tree->span),
                            .type = text ? wanted : types->bits[0],
                            .span = tree->span},
        &number, 1);
}

static struct code_expr *reference(struct env *env,
                                   const struct tree_expr *tree,
                                   const struct type *wanted)
{
    struct found found;

    if (!resolve_bit(env, tree->path, wanted, &found))
        return NULL;
    if (found.kind == FOUND_VARIABLE && found.letter)
        return letter(env, &found, tree, wanted);
    if (found.kind == FOUND_VARIABLE)
        return bit_or_whole(env, &found,
                            read_variable(env, &found, tree->span));
    if (found.kind == FOUND_INSTANCE)
        return refuse(env, tree->span,
                      "name one of its outputs behind a "
                      "point",
                      "is an instance of a block", found.symbol->name);
    return read_symbol(env, found.symbol, tree->span);
}

/* ---- PRESSED, READ, COMMANDED ---- */

static void use_contacts(struct draft *draft, uint32_t control)
{
    for (size_t i = 0; i < draft->contacts.n; i++)
        if (draft->contacts.at[i].control == control)
            draft->contact_used.at[i] = true;
}

/* The control of that name, or MODEL_NONE with a report. */
static uint32_t control_of(struct env *env, const struct tree_path *path)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol =
        scope_find(&env->draft->review, first->name);
    uint32_t control = MODEL_NONE;

    if (!symbol && !first->next) {
        resolve_unknown(env, first);
        return MODEL_NONE;
    }
    if (symbol && !first->next && symbol->kind == SYMBOL_CONTROL)
        control = symbol->index;
    if (symbol && !first->next && symbol->kind == SYMBOL_CONTACT)
        control = env->draft->contacts.at[symbol->index].control;
    if (control == MODEL_NONE) {
        refuse(env, path->span,
               "declare it in CONTROLS, or leave PRESSED "
               "out",
               "is not a control", first->name);
    } else if (env->draft->controls.at[control].name != first->name) {
        refuse(
            env, path->span,
            arena_printf(env->draft->arena, "write PRESSED %s",
                         env->draft->controls.at[control].name->spelling),
            "is one contact of a control", first->name);
        return MODEL_NONE;
    }
    return control;
}

static struct code_expr *pressed(struct env *env,
                                 const struct tree_expr *tree)
{
    uint32_t control = control_of(env, tree->path);
    struct code_expr *expr;

    if (control == MODEL_NONE || !rights_read(env, THING_HAND, tree->span))
        return NULL;
    if (env->text == TEXT_MECHANISM)
        use_contacts(env->draft, control);
    expr = simple(env, CODE_HAND, control,
                  env->draft->controls.at[control].type, tree->span);
    expr->when = when_of(env);
    return expr;
}

bool leaf_is_input(const struct draft *draft, uint32_t slot)
{
    const struct slot *row = &draft->slots.at[slot];
    const struct use *use = &draft->uses.at[slot];

    if (!use->symbol || row->temp)
        return false;
    return use->wired.file ||
           (!use->symbol->constant && !use->written.file &&
            row->driver != DRIVER_FIXED) ||
           (row->driver == DRIVER_FIXED && !use->symbol->constant);
}

static struct code_expr *read_input(struct env *env,
                                    const struct tree_expr *tree)
{
    struct found found;

    if (!resolve_control_bit(env->draft, tree->path, &found) ||
        !rights_read(env, THING_READ, tree->span))
        return NULL;
    if (!found_single(&found) || found_inside(env->draft, &found) ||
        !leaf_is_input(env->draft, found.variable.index))
        return refuse(env, tree->span,
                      "READ takes an input of a program; "
                      "write the name of any other variable alone",
                      "is not an input", found.symbol->name);
    target_note_read(env, found.variable, found.type, tree->span);
    return bit_or_whole(env, &found,
                        simple(env, CODE_READ, found.variable.index,
                               found.type, tree->span));
}

/* COMMANDED Program.name also says which of several variables is meant. */
static bool bind_command(struct env *env, const struct tree_expr *tree,
                         struct actuator *actuator)
{
    struct found found;

    if (!tree->path->parts.first->next)
        return true;
    if (!resolve_control(env->draft, tree->path, &found))
        return false;
    if (found_single(&found) && !found.member &&
        type_fits(found.type, actuator->type) &&
        (actuator->command == MODEL_NONE ||
         actuator->command == found.variable.index)) {
        actuator->command = found.variable.index;
        return true;
    }
    refuse(env, tree->span,
           "name one output of a program, with the type "
           "of the actuator, the same everywhere",
           "cannot command this actuator", found.symbol->name);
    return false;
}

static struct code_expr *commanded(struct env *env,
                                   const struct tree_expr *tree)
{
    const struct path_part *last = tree->path->parts.last;
    const struct symbol *symbol =
        last->name ? scope_find(&env->draft->review, last->name) : NULL;

    if (!symbol || symbol->kind != SYMBOL_ACTUATOR) {
        if (!symbol && last == tree->path->parts.first) {
            resolve_unknown(env, last);
            return NULL;
        }
        return refuse(env, tree->span,
                      "declare it in CONTROLS as VALVE, "
                      "MOTOR, LAMP, HORN or OUTPUT",
                      "is not an actuator",
                      last->name ? last->name
                                 : tree->path->parts.first->name);
    }
    if (!rights_read(env, THING_COMMANDED, tree->span) ||
        !bind_command(env, tree, &env->draft->actuators.at[symbol->index]))
        return NULL;
    return simple(env, CODE_COMMANDED, symbol->index,
                  env->draft->actuators.at[symbol->index].type, tree->span);
}

struct code_expr *leaf_check(struct env *env, const struct tree_expr *tree,
                             const struct type *wanted)
{
    const struct symbol *item;

    switch (tree->kind) {
    case TREE_REF: return reference(env, tree, wanted);
    case TREE_ITEM:
        item = typing_qualified(env->draft, tree);
        return item ? arith_constant(env->draft, item->type, item->value,
                                     tree->span)
                    : NULL;
    case TREE_PRESSED: return pressed(env, tree);
    case TREE_READ: return read_input(env, tree);
    default: return commanded(env, tree);
    }
}
