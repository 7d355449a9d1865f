#include "check/signal.h"

#include "check/expr.h"
#include "check/past.h"
#include "check/resolve.h"
#include "check/typing.h"
#include "check/written.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             name->spelling, what);
    return false;
}

static const char *title_of(const struct tree_signal *tree)
{
    return tree->title.at ? tree->title.at : tree->name->name->spelling;
}

static bool enter(struct draft *draft, const struct tree_ident *ident,
                  enum symbol_kind kind, uint32_t index)
{
    return scope_add(&draft->review, draft->arena, draft->diags,
                     &(struct symbol){.name = ident->name,
                                      .kind = kind,
                                      .span = ident->span,
                                      .index = index}) != NULL;
}

/* The type of the one control variable of that name, or NULL. */
static const struct type *bound_type(struct draft *draft,
                                     const struct name *name)
{
    struct found found;

    return resolve_candidates(draft, name, &found) == 1 &&
                   found.kind == FOUND_VARIABLE
               ? found.type
               : NULL;
}

/* ---- positions ---- */

static bool same_items(const struct type *type,
                       const struct tree_signal *tree)
{
    const struct type *base = type ? type_base(type) : NULL;
    uint32_t i = 0;

    if (!base || base->kind != TYPE_ENUM ||
        base->count != tree->positions.n)
        return false;
    for (const struct tree_enum_item *at = tree->positions.first; at;
         at = at->next)
        if (base->items[i++] != at->name)
            return false;
    return true;
}

static const struct type *selector_type(struct draft *draft,
                                        const struct tree_signal *tree)
{
    const struct type *type = bound_type(draft, tree->name->name);

    if (same_items(type, tree))
        return type_base(type);
    if (tree->positions.n)
        return typing_enumeration(draft, NULL, tree->positions.first,
                                  tree->positions.n);
    if (type && type->kind != TYPE_BOOL && type->kind != TYPE_TIME &&
        !type_abstracted(type))
        return type;
    refuse(draft, tree->name->span, "write SELECTOR (First, Second)",
           "has no positions", tree->name->name);
    return NULL;
}

static const struct type *number_type(struct draft *draft,
                                      const struct tree_signal *tree)
{
    const struct type *type = bound_type(draft, tree->name->name);
    const struct type *base = type ? type_base(type) : draft->types.dint;
    int64_t low, high;

    if (type && type->kind == TYPE_REAL && tree->low) {
        refuse(draft, tree->name->span,
               "leave the range out, and write it as an assumption",
               "is a REAL, which has no range", tree->name->name);
        return NULL;
    }
    if (type && type->kind != TYPE_INTEGER && type->kind != TYPE_BITS &&
        type->kind != TYPE_TIME && type->kind != TYPE_REAL) {
        refuse(draft, tree->name->span,
               "declare it as a BUTTON, SWITCH or SELECTOR",
               "is no number in the control text", tree->name->name);
        return NULL;
    }
    if (!tree->low) {
        if (!type)
            refuse(draft, tree->name->span, "write NUMBER (0 .. 9)",
                   "has no range", tree->name->name);
        return type;
    }
    if (!typing_constant(draft, NULL, tree->low, base, &low) ||
        !typing_constant(draft, NULL, tree->high, base, &high))
        return NULL;
    if (low <= high)
        return written_subrange(draft, base, low, high);
    refuse(draft, tree->name->span, "write the smaller value first",
           "has a range that begins above its end", tree->name->name);
    return NULL;
}

static const struct type *position_type(struct draft *draft,
                                        const struct tree_signal *tree)
{
    if (tree->kind == TREE_SELECTOR)
        return selector_type(draft, tree);
    if (tree->kind == TREE_NUMBER)
        return number_type(draft, tree);
    return draft->types.boolean;
}

/* ---- contacts ---- */

static void push_contact(struct draft *draft, struct contact contact)
{
    vec_push(&draft->contacts, contact);
    vec_push(&draft->contact_used, false);
}

static bool find_position(struct draft *draft, const struct type *type,
                          const struct tree_contact *tree,
                          struct contact *contact)
{
    bool several;
    const struct symbol *item;

    if (!tree->position)
        return false;
    item = typing_item(draft, tree->position->name, type, &several);
    if (!item || !type_fits(item->type, type))
        return refuse(draft, tree->position->span,
                      "name one of the positions of the selector",
                      "is no position of it", tree->position->name);
    contact->kind = CONTACT_ON;
    contact->position = item->value;
    return true;
}

static void add_contact(struct draft *draft, const struct tree_signal *tree,
                        const struct tree_contact *part,
                        const struct type *type)
{
    const struct tree_ident *ident = part->name ? part->name : tree->name;
    struct contact contact = {.name = ident->name,
                              .control = (uint32_t)draft->controls.n,
                              .type = draft->types.boolean,
                              .past = MODEL_NONE,
                              .span = ident->span};
    bool on = part->kind == TREE_CONTACT_ON;

    contact.kind = part->kind == TREE_CONTACT_OPENING ? CONTACT_OPENING
                                                      : CONTACT_CLOSING;
    if (on != (type->kind == TYPE_ENUM)) {
        refuse(draft, ident->span,
               on ? "write OPENING or CLOSING"
                  : "write CONTACTS name ON Position",
               on ? "is not a selector with positions"
                  : "belongs to a control that does not open or close",
               ident->name);
        return;
    }
    if (on && !find_position(draft, type, part, &contact))
        return;
    if (enter(draft, ident, SYMBOL_CONTACT, (uint32_t)draft->contacts.n))
        push_contact(draft, contact);
}

static void single_contact(struct draft *draft,
                           const struct tree_signal *tree,
                           const struct type *type)
{
    struct contact contact = {.name = tree->name->name,
                              .control = (uint32_t)draft->controls.n,
                              .kind = CONTACT_CLOSING,
                              .type = type,
                              .past = MODEL_NONE,
                              .span = tree->name->span};

    if (tree->kind == TREE_STOP)
        refuse(draft, tree->name->span,
               "write CONTACTS OPENING (FALSE when pressed or the wire is "
               "off) or CONTACTS CLOSING",
               "is a STOP and does not say how it is wired",
               tree->name->name);
    if (tree->kind == TREE_SELECTOR || tree->kind == TREE_NUMBER)
        contact.kind = CONTACT_VALUE;
    if (enter(draft, tree->name, SYMBOL_CONTACT,
              (uint32_t)draft->contacts.n))
        push_contact(draft, contact);
}

static void contacts_of(struct draft *draft, const struct tree_signal *tree,
                        const struct type *type)
{
    bool named = tree->contacts.first && tree->contacts.first->name;

    if (!tree->contacts.first) {
        single_contact(draft, tree, type);
        return;
    }
    if (named && !enter(draft, tree->name, SYMBOL_CONTROL,
                        (uint32_t)draft->controls.n))
        return;
    for (const struct tree_contact *at = tree->contacts.first; at;
         at = at->next)
        add_contact(draft, tree, at, type);
}

static const enum colour colours[] = {
    [TREE_NO_COLOUR] = COLOUR_NONE, [TREE_RED] = COLOUR_RED,
    [TREE_YELLOW] = COLOUR_YELLOW,  [TREE_GREEN] = COLOUR_GREEN,
    [TREE_BLUE] = COLOUR_BLUE,      [TREE_WHITE] = COLOUR_WHITE,
    [TREE_GREY] = COLOUR_GREY,      [TREE_BLACK] = COLOUR_BLACK};

static void declare_control(struct draft *draft,
                            const struct tree_signal *tree)
{
    static const enum signal_kind kinds[] = {[TREE_BUTTON] = SIGNAL_BUTTON,
                                             [TREE_STOP] = SIGNAL_STOP,
                                             [TREE_SWITCH] = SIGNAL_SWITCH,
                                             [TREE_SELECTOR] =
                                                 SIGNAL_SELECTOR,
                                             [TREE_NUMBER] = SIGNAL_NUMBER};
    const struct type *type = position_type(draft, tree);
    struct control control = {.name = tree->name->name,
                              .kind = kinds[tree->kind],
                              .title = title_of(tree),
                              .place = tree->place.at,
                              .sees = tree->sees.at,
                              .colour = colours[tree->colour],
                              .latching = tree->latching,
                              .type = type,
                              .span = tree->name->span};

    if (!type) /* entered so that its uses stay silent */
        control.type = type = draft->types.boolean;
    contacts_of(draft, tree, type);
    vec_push(&draft->controls, control);
}

static void declare_sensor(struct draft *draft,
                           const struct tree_signal *tree)
{
    struct sensor sensor = {.name = tree->name->name,
                            .title = title_of(tree),
                            .place = tree->place.at,
                            .past = MODEL_NONE,
                            .span = tree->name->span};

    if (!enter(draft, tree->name, SYMBOL_SENSOR,
               (uint32_t)draft->sensors.n))
        return;
    vec_push(&draft->sensors, sensor);
    vec_push(&draft->sensor_used, false);
}

static void declare_actuator(struct draft *draft,
                             const struct tree_signal *tree)
{
    static const enum signal_kind kinds[] = {[TREE_VALVE] = SIGNAL_VALVE,
                                             [TREE_MOTOR] = SIGNAL_MOTOR,
                                             [TREE_LAMP] = SIGNAL_LAMP,
                                             [TREE_HORN] = SIGNAL_HORN,
                                             [TREE_OUTPUT] = SIGNAL_OUTPUT};
    const struct type *type = bound_type(draft, tree->name->name);
    struct actuator actuator = {.name = tree->name->name,
                                .kind = kinds[tree->kind],
                                .title = title_of(tree),
                                .place = tree->place.at,
                                .colour = colours[tree->colour],
                                .spring = tree->spring,
                                .command = MODEL_NONE,
                                .uncommanded = MODEL_NONE,
                                .span = tree->name->span};
    struct slot slot = {.path = actuator.name->spelling,
                        .home = SLOT_ACTUATOR,
                        .start = MODEL_NONE,
                        .span = actuator.span};

    if (type && type_abstracted(type))
        refuse(draft, tree->name->span,
               "name an output of the control text that says what is asked "
               "of it, as BOOL or a whole number",
               "is not followed in full, and off has no value there",
               tree->name->name);
    slot.type = actuator.type =
        type ? type_base(type) : draft->types.boolean;
    if (enter(draft, tree->name, SYMBOL_ACTUATOR,
              (uint32_t)draft->actuators.n) &&
        draft_slot(draft, &slot, &actuator.slot))
        vec_push(&draft->actuators, actuator);
}

void signal_declare(struct draft *draft)
{
    for (const struct tree_signal *tree = draft->run->review.signals.first;
         tree; tree = tree->next)
        if (tree->kind < TREE_SENSOR)
            declare_control(draft, tree);
        else if (tree->kind == TREE_SENSOR)
            declare_sensor(draft, tree);
        else
            declare_actuator(draft, tree);
}

/* The tree and the list run side by side; a sensor declared twice is in the
 * tree only. */
void signal_sensors(struct draft *draft)
{
    struct env env = {.draft = draft, .text = TEXT_ON_WHEN};
    size_t i = 0;

    for (const struct tree_signal *tree = draft->run->review.signals.first;
         tree && i < draft->sensors.n; tree = tree->next) {
        struct sensor *sensor = &draft->sensors.at[i];

        if (tree->kind != TREE_SENSOR ||
            tree->name->span.from != sensor->span.from)
            continue;
        sensor->on_when = expr_condition(&env, tree->on_when);
        if (sensor->on_when)
            sensor->on_when_previous = past_of(draft, sensor->on_when);
        i++;
    }
}
