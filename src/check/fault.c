#include "check/fault.h"

static bool refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what, const struct name *name)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "'%s' %s",
             name->spelling, what);
    return false;
}

static const char *const phrases[] = {
    [TREE_DOES_NOT_OPEN] = "does not open",
    [TREE_DOES_NOT_CLOSE] = "does not close",
    [TREE_STAYS] = "stays as it is",
    [TREE_WIRE_OFF] = "has its wire off",
    [TREE_SHORT_TO_SUPPLY] = "has a short to supply",
    [TREE_SHORT_TO] = "has a short to",
    [TREE_IN_MECHANISM] = "in the mechanism"};

/* ---- places ---- */

/* Contacts of one control stand side by side. */
static void all_contacts(const struct draft *draft, uint32_t control,
                         struct fault *fault)
{
    fault->count = 0;
    for (uint32_t i = 0; i < draft->contacts.n; i++)
        if (draft->contacts.at[i].control == control && !fault->count++)
            fault->first = i;
}

static const struct symbol *signal_at(struct draft *draft,
                                      const struct tree_path *path)
{
    const struct path_part *first = path->parts.first;
    const struct symbol *symbol = scope_find(&draft->review, first->name);
    const struct scope *scopes[1] = {&draft->review};
    const struct symbol *near;

    if (symbol && !first->next &&
        (symbol->kind == SYMBOL_CONTROL || symbol->kind == SYMBOL_CONTACT ||
         symbol->kind == SYMBOL_SENSOR || symbol->kind == SYMBOL_ACTUATOR))
        return symbol;
    near = symbol ? NULL : scope_nearest(scopes, 1, first->name);
    diag_add(
        draft->diags, DIAG_ERROR, path->span,
        near ? arena_printf(draft->arena, "write '%s'",
                            draft_spelling(draft, near->name, near->span))
             : "name a control, contact, sensor or actuator of "
               "CONTROLS, or write IN MECHANISM",
        "a fault cannot act on '%s'", first->name->spelling);
    return NULL;
}

static const struct type *find_place(struct draft *draft,
                                     const struct symbol *symbol,
                                     struct fault *fault)
{
    fault->first = symbol->index;
    fault->count = 1;
    fault->target = symbol->kind == SYMBOL_SENSOR     ? AT_SENSOR
                    : symbol->kind == SYMBOL_ACTUATOR ? AT_ACTUATOR
                                                      : AT_CONTACTS;
    if (symbol->kind == SYMBOL_CONTROL)
        all_contacts(draft, symbol->index, fault);
    if (fault->target == AT_ACTUATOR)
        return draft->actuators.at[symbol->index].type;
    if (fault->target == AT_SENSOR || !fault->count)
        return draft->types.boolean;
    return draft->contacts.at[fault->first].type;
}

static bool phrase_fits(struct draft *draft, const struct tree_fault *tree,
                        const struct fault *fault, const struct type *type)
{
    const struct name *name = tree->place->parts.first->name;

    if (fault->target == AT_ACTUATOR && tree->kind != TREE_STAYS &&
        tree->kind != TREE_WIRE_OFF && tree->kind != TREE_SHORT_TO_SUPPLY)
        return refuse(draft, tree->span,
                      "write STAYS, WIRE OFF or SHORT TO "
                      "SUPPLY",
                      "is an actuator: this phrase is for "
                      "contacts",
                      name);
    if (type->kind != TYPE_BOOL && tree->kind != TREE_STAYS &&
        !(fault->target == AT_ACTUATOR && tree->kind == TREE_WIRE_OFF))
        return refuse(draft, tree->span,
                      "write STAYS, or give its contacts "
                      "names with CONTACTS",
                      "has more than two positions", name);
    return true;
}

static bool find_other(struct draft *draft, const struct tree_fault *tree,
                       struct fault *fault)
{
    const struct symbol *symbol = signal_at(draft, tree->other);
    struct fault other;
    const struct type *type;

    if (!symbol)
        return false;
    type = find_place(draft, symbol, &other);
    if (other.target == AT_ACTUATOR || type->kind != TYPE_BOOL)
        return refuse(draft, tree->other->span, "name a contact or sensor",
                      "cannot be shorted to", symbol->name);
    if (other.count != 1)
        return refuse(draft, tree->other->span, "name one of its contacts",
                      "has several contacts", symbol->name);
    if (other.target == fault->target && other.first >= fault->first &&
        other.first < fault->first + fault->count)
        return refuse(draft, tree->other->span, "name another contact",
                      "is shorted to itself", symbol->name);
    fault->other_target = other.target;
    fault->other = other.first;
    return true;
}

static const char *sentence(const struct draft *draft,
                            const struct tree_fault *tree,
                            const struct fault *fault)
{
    const char *place, *other;

    if (tree->title.at)
        return tree->title.at;
    if (!tree->place)
        return tree->name->name->spelling;
    place = tree->place->parts.first->name->spelling;
    if (fault->target == AT_SENSOR)
        place = draft->sensors.at[fault->first].title;
    else if (fault->target == AT_ACTUATOR)
        place = draft->actuators.at[fault->first].title;
    else if (fault->count &&
             draft->contacts.at[fault->first].name ==
                 draft->controls
                     .at[draft->contacts.at[fault->first].control]
                     .name)
        place = draft->controls.at[draft->contacts.at[fault->first].control]
                    .title;
    other = tree->other ? tree->other->parts.first->name->spelling : "";
    return arena_printf(draft->arena, "%s %s%s%s", place,
                        phrases[tree->kind], *other ? " " : "", other);
}

static void declare(struct draft *draft, const struct tree_fault *tree)
{
    const struct symbol *symbol =
        tree->place ? signal_at(draft, tree->place) : NULL;
    struct fault fault = {.name = draft_named(draft, tree->name->name,
                                              tree->name->span),
                          .kind = (enum fault_kind)tree->kind,
                          .target = AT_MECHANISM,
                          .timing = (enum fault_timing)tree->timing,
                          .excluded = tree->excluded,
                          .because = tree->reason.because.at,
                          .confirmed_by = tree->reason.confirmed_by.at,
                          .cause = MODEL_NONE, .choice = MODEL_NONE,
                          .span = tree->name->span};
    const struct type *type;

    if (symbol) {
        type = find_place(draft, symbol, &fault);
        if (phrase_fits(draft, tree, &fault, type) && tree->other)
            find_other(draft, tree, &fault);
    }
    fault.title = sentence(draft, tree, &fault);
    if (scope_add(&draft->review, draft->arena, draft->diags,
                  &(struct symbol){.name = tree->name->name,
                                   .kind = SYMBOL_FAULT,
                                   .span = fault.span,
                                   .index = (uint32_t)draft->faults.n}))
        vec_push(&draft->faults, fault);
}

_Static_assert((int)TREE_IN_MECHANISM == (int)FAULT_IN_MECHANISM &&
                   (int)TREE_STAYS == (int)FAULT_STAYS &&
                   (int)TREE_SHORT_TO == (int)FAULT_SHORT_TO,
               "fault phrases in the same order");
_Static_assert((int)TREE_INTERMITTENT == (int)TIMING_INTERMITTENT &&
                   (int)TREE_FROM_POWER_UP == (int)TIMING_FROM_POWER_UP,
               "times of faults in the same order");

void fault_declare(struct draft *draft)
{
    for (const struct tree_fault *tree = draft->run->review.faults.first;
         tree; tree = tree->next)
        declare(draft, tree);
}
