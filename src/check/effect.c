#include "check/effect.h"

#include "check/expr.h"
#include "check/past.h"
#include "check/resolve.h"
#include "check/rhythm.h"
#include "check/typing.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             name->spelling, what);
    return false;
}

/* ---- places ---- */

/* Contacts of one control stand side by side. */
static void all_contacts(const struct draft *draft, uint32_t control,
                         struct effect *effect)
{
    effect->count = 0;
    for (uint32_t i = 0; i < draft->contacts.n; i++)
        if (draft->contacts.at[i].control == control && !effect->count++)
            effect->first = i;
}

static bool is_relay(const struct symbol *symbol)
{
    return symbol->kind == SYMBOL_VARIABLE && !symbol->constant &&
           (symbol->home == SLOT_WIRING_IN ||
            symbol->home == SLOT_WIRING_OUT) &&
           symbol->type && symbol->type->kind == TYPE_BOOL;
}

static const struct symbol *place_at(struct draft *draft,
                                     const struct tree_path *path)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol = scope_find(&draft->review, first->name);
    const struct scope *scopes[1] = {&draft->review};
    const struct symbol *near;

    if (symbol && !first->next &&
        (symbol->kind == SYMBOL_CONTROL || symbol->kind == SYMBOL_CONTACT ||
         symbol->kind == SYMBOL_SENSOR || symbol->kind == SYMBOL_ACTUATOR ||
         is_relay(symbol)))
        return symbol;
    near = symbol ? NULL : scope_nearest(scopes, 1, first->name);
    diag_add(
        draft->diags, DIAG_ERROR, path->span,
        near ? arena_printf(draft->arena, "write '%s'",
                            draft_spelling(draft, near->name, near->span))
             : "name a control, contact, sensor or actuator of "
               "CONTROLS, a relay (BOOL VAR of WIRING), or write IN "
               "MECHANISM",
        "a fault cannot act on '%s'", first->name->spelling);
    return NULL;
}

static enum fault_target target_of(enum symbol_kind kind)
{
    switch (kind) {
    case SYMBOL_SENSOR: return AT_SENSOR;
    case SYMBOL_ACTUATOR: return AT_ACTUATOR;
    case SYMBOL_VARIABLE: return AT_RELAY;
    default: return AT_CONTACTS;
    }
}

/* Fills in where, and gives the type of what stands there. */
static const struct type *find_place(struct draft *draft,
                                     const struct symbol *symbol,
                                     struct effect *effect)
{
    effect->target = target_of(symbol->kind);
    effect->first = effect->target == AT_RELAY ? symbol->variable.index
                                               : symbol->index;
    effect->count = 1;
    if (symbol->kind == SYMBOL_CONTROL)
        all_contacts(draft, symbol->index, effect);
    if (effect->target == AT_ACTUATOR)
        return draft->actuators.at[symbol->index].type;
    if (effect->target != AT_CONTACTS || !effect->count)
        return draft->types.boolean;
    return draft->contacts.at[effect->first].type;
}

/* ---- what may be said of what ---- */

static bool actuator_fits(struct draft *draft, const struct tree_fault *tree,
                          enum fault_target target, const struct name *name)
{
    if (target != AT_ACTUATOR)
        return tree->kind != TREE_UNCOMMANDED ||
               refuse(draft, tree->span,
                      "write DOES NOT OPEN, DOES NOT CLOSE or another phrase "
                      "for it",
                      "is no actuator: only actuators move without command",
                      name);
    if (tree->kind == TREE_STAYS || tree->kind == TREE_WIRE_OFF ||
        tree->kind == TREE_SHORT_TO_SUPPLY || tree->kind == TREE_UNCOMMANDED)
        return true;
    return refuse(draft, tree->span,
                  "write STAYS, WIRE OFF, SHORT TO SUPPLY or MOVES WITHOUT "
                  "COMMAND",
                  "is an actuator: this phrase is for contacts", name);
}

static bool phrase_fits(struct draft *draft, const struct tree_fault *tree,
                        const struct effect *effect, const struct type *type,
                        const struct name *name)
{
    if (!actuator_fits(draft, tree, effect->target, name))
        return false;
    if (effect->target == AT_RELAY && tree->kind == TREE_SHORT_TO)
        return refuse(draft, tree->span,
                      "name the contact that its coil hangs on, or write "
                      "SHORT TO SUPPLY",
                      "is a relay: only contacts and sensors are shorted to "
                      "one another", name);
    if (effect->target != AT_SENSOR && tree->kind == TREE_DISPLACED)
        return refuse(draft, tree->span,
                      "name a sensor, or declare the fault IN MECHANISM",
                      "is no sensor: only sensors are displaced", name);
    if (type->kind != TYPE_BOOL && tree->kind != TREE_STAYS &&
        !(effect->target == AT_ACTUATOR &&
          (tree->kind == TREE_WIRE_OFF || tree->kind == TREE_UNCOMMANDED)))
        return refuse(draft, tree->span,
                      "write STAYS, or give its contacts "
                      "names with CONTACTS",
                      "has more than two positions", name);
    return true;
}

static bool find_other(struct draft *draft, const struct tree_fault *tree,
                       struct effect *effect)
{
    const struct symbol *symbol = place_at(draft, tree->other);
    struct effect other;
    const struct type *type;

    if (!symbol)
        return false;
    type = find_place(draft, symbol, &other);
    if ((other.target != AT_CONTACTS && other.target != AT_SENSOR) ||
        type->kind != TYPE_BOOL)
        return refuse(draft, tree->other->span, "name a contact or sensor",
                      "cannot be shorted to", symbol->name);
    if (other.count != 1)
        return refuse(draft, tree->other->span, "name one of its contacts",
                      "has several contacts", symbol->name);
    if (other.target == effect->target && other.first >= effect->first &&
        other.first < effect->first + effect->count)
        return refuse(draft, tree->other->span, "name another contact",
                      "is shorted to itself", symbol->name);
    effect->other_target = other.target;
    effect->other = other.first;
    return true;
}

/* ---- DISPLACED ---- */

static bool reads(const struct code_expr *expr, uint32_t slot)
{
    if (!expr)
        return false;
    if (expr->op == CODE_VARIABLE && expr->variable.base == CODE_GLOBAL &&
        expr->variable.index == slot)
        return true;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (reads(expr->args[i].value, slot))
            return true;
    for (uint32_t i = 0; i < expr->variable.n_steps; i++)
        if (reads(expr->variable.steps[i].value, slot))
            return true;
    return reads(expr->left, slot) || reads(expr->right, slot);
}

/* Positions in a row, of which sums cannot overflow. */
static bool has_positions(const struct type *type)
{
    return type->kind == TYPE_ENUM ||
           (type->kind == TYPE_INTEGER && type->low >= INT32_MIN &&
            type->high <= INT32_MAX);
}

static bool find_along(struct draft *draft, const struct tree_fault *tree,
                       struct effect *effect)
{
    struct env env = {.draft = draft, .text = TEXT_ON_WHEN,
                      .frame = MODEL_NONE};
    const struct name *name = tree->other->parts.first->name;
    struct found found;

    if (!typing_constant(draft, NULL, tree->by, draft->types.dint,
                         &effect->by) ||
        !resolve_path(&env, tree->other, NULL, &found))
        return false;
    if (effect->by == 0)
        return refuse(draft, tree->by->span, "write BY 1, or BY -1 for the "
                      "other way",
                      "would not be displaced by 0",
                      tree->places.first->path->parts.first->name);
    if (!found_single(&found) || found.control || found.symbol->constant ||
        found.symbol != found.root || found.root->home != SLOT_MACHINE ||
        tree->other->parts.first->next)
        return refuse(draft, tree->other->span,
                      "name a variable that a MECHANISM declares with VAR, "
                      "alone and not as part of an array or structure",
                      "is no machine variable along which a sensor could be "
                      "displaced", name);
    if (!has_positions(found.type))
        return refuse(draft, tree->other->span,
                      "declare it as an enumeration, or as a whole number of "
                      "up to 32 bits",
                      "has no positions in a row", name);
    effect->along = found.variable.index;
    return true;
}

/* ---- the whole ---- */

static bool named_before(const struct tree_fault *tree,
                         const struct tree_expr *place)
{
    const struct tree_expr *at = tree->places.first;

    for (; at != place; at = at->next)
        if (at->path->parts.first->name == place->path->parts.first->name)
            return true;
    return false;
}

static bool add_place(struct draft *draft, const struct tree_fault *tree,
                      const struct tree_expr *place, struct effect *effect)
{
    const struct name *name = place->path->parts.first->name;
    const struct symbol *symbol = place_at(draft, place->path);
    const struct type *type;

    if (!symbol)
        return false;
    type = find_place(draft, symbol, effect);
    if (!phrase_fits(draft, tree, effect, type, name))
        return false;
    if (tree->kind == TREE_SHORT_TO)
        return find_other(draft, tree, effect);
    return tree->kind != TREE_DISPLACED || find_along(draft, tree, effect);
}

static bool add_program(struct draft *draft, const struct tree_expr *place,
                        struct effect *effect)
{
    const struct path_part *first = place->path->parts.first;
    struct program *program;

    if (first->next)
        return refuse(draft, place->span, "write the name of the program "
                      "alone", "is not stopped in part", first->name);
    program = rhythm_program(draft, first->name, first->span);
    if (!program)
        return false;
    program->stops = true;
    effect->target = AT_PROGRAM;
    effect->first = (uint32_t)(program - draft->programs.at);
    effect->count = 1;
    return true;
}

void effect_declare(struct draft *draft, const struct tree_fault *tree,
                    uint32_t fault)
{
    for (const struct tree_expr *at = tree->places.first; at; at = at->next) {
        struct effect effect = {.fault = fault,
                                .kind = (enum fault_kind)tree->kind};
        bool good = tree->kind == TREE_STOPS
                        ? add_program(draft, at, &effect)
                        : add_place(draft, tree, at, &effect);

        if (good && named_before(tree, at))
            good = refuse(draft, at->span, "name it once",
                          "stands twice in this fault",
                          at->path->parts.first->name);
        if (good)
            vec_push(&draft->effects, effect);
    }
}

/* ---- displaced sensors ---- */

/* Of this sensor, along this variable. */
static bool displaces(const struct draft *draft, uint32_t sensor,
                      uint32_t slot)
{
    for (size_t i = 0; i < draft->effects.n; i++) {
        const struct effect *effect = &draft->effects.at[i];

        if (effect->kind == FAULT_DISPLACED && effect->first == sensor &&
            effect->along == slot)
            return true;
    }
    return false;
}

static void report_unread(struct draft *draft, const struct effect *effect)
{
    const struct sensor *sensor = &draft->sensors.at[effect->first];

    if (sensor->on_when && !reads(sensor->on_when, effect->along))
        diag_add(draft->diags, DIAG_ERROR,
                 draft->faults.at[effect->fault].span,
                 "name a variable that its ON WHEN reads",
                 "ON WHEN of '%s' does not read '%s': displaced along it, "
                 "the sensor sees the same",
                 sensor->name->spelling,
                 draft->slots.at[effect->along].path);
}

struct displacing {
    const struct draft *draft;
    uint32_t sensor;
};

static void displace_leaf(void *context, struct code_expr *copy)
{
    const struct displacing *displacing = context;

    if (copy->op != CODE_VARIABLE || copy->variable.base != CODE_GLOBAL ||
        copy->variable.n_steps ||
        !displaces(displacing->draft, displacing->sensor,
                   copy->variable.index))
        return;
    copy->op = CODE_DISPLACED;
    copy->index = displacing->sensor;
}

void effect_displaced(struct draft *draft)
{
    for (size_t i = 0; i < draft->effects.n; i++) {
        const struct effect *effect = &draft->effects.at[i];
        struct displacing displacing = {draft, effect->first};
        struct sensor *sensor;

        if (effect->kind != FAULT_DISPLACED)
            continue;
        report_unread(draft, effect);
        sensor = &draft->sensors.at[effect->first];
        if (sensor->on_when && !sensor->displaced)
            sensor->displaced = past_copy(draft, sensor->on_when,
                                          displace_leaf, &displacing);
    }
}
