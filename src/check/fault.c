#include "check/fault.h"

#include "check/effect.h"

static const char *const phrases[] = {
    [TREE_DOES_NOT_OPEN] = "does not open",
    [TREE_DOES_NOT_CLOSE] = "does not close",
    [TREE_STAYS] = "stays as it is",
    [TREE_WIRE_OFF] = "has its wire off",
    [TREE_SHORT_TO_SUPPLY] = "has a short to supply",
    [TREE_SHORT_TO] = "has a short to",
    [TREE_UNCOMMANDED] = "moves without command",
    [TREE_DISPLACED] = "is displaced by",
    [TREE_STOPS] = "stops",
    [TREE_IN_MECHANISM] = "in the mechanism"};

/* For several places. */
static const char *const plural[] = {
    [TREE_DOES_NOT_OPEN] = "do not open",
    [TREE_DOES_NOT_CLOSE] = "do not close",
    [TREE_STAYS] = "stay as they are",
    [TREE_WIRE_OFF] = "have their wires off",
    [TREE_SHORT_TO_SUPPLY] = "have a short to supply",
    [TREE_SHORT_TO] = "have a short to",
    [TREE_UNCOMMANDED] = "move without command",
    [TREE_DISPLACED] = "are displaced by",
    [TREE_STOPS] = "stop",
    [TREE_IN_MECHANISM] = "in the mechanism"};

static const char *title_of(const struct draft *draft,
                            const struct effect *effect,
                            const struct tree_expr *place)
{
    const char *spelling = place->path->parts.first->name->spelling;
    const struct contact *contact;

    switch (effect->target) {
    case AT_SENSOR: return draft->sensors.at[effect->first].title;
    case AT_ACTUATOR: return draft->actuators.at[effect->first].title;
    case AT_RELAY: return draft->slots.at[effect->first].path;
    case AT_PROGRAM:
        return arena_printf(draft->arena, "program %s", spelling);
    default: break;
    }
    if (!effect->count)
        return spelling;
    contact = &draft->contacts.at[effect->first];
    return contact->name == draft->controls.at[contact->control].name
               ? draft->controls.at[contact->control].title : spelling;
}

/* All places, in their order; each of them has an effect. */
static const char *sentence(const struct draft *draft,
                            const struct tree_fault *tree, size_t first)
{
    const char *all = "", *other = "";
    size_t i = first;

    for (const struct tree_expr *at = tree->places.first; at; at = at->next) {
        const char *between = i == first ? ""
                              : at->next ? ", " : " and ";

        all = arena_printf(draft->arena, "%s%s%s", all, between,
                           title_of(draft, &draft->effects.at[i++], at));
    }
    if (tree->other)
        other = tree->other->parts.first->name->spelling;
    if (tree->kind == TREE_DISPLACED)
        other = arena_printf(draft->arena, "%lld along %s",
                             (long long)draft->effects.at[first].by, other);
    return arena_printf(
        draft->arena, "%s %s%s%s", all,
        (tree->places.n > 1 ? plural : phrases)[tree->kind],
        *other ? " " : "", other);
}

static void declare(struct draft *draft, const struct tree_fault *tree)
{
    struct fault fault = {.name = draft_named(draft, tree->name->name,
                                              tree->name->span),
                          .title = tree->title.at
                                       ? tree->title.at
                                       : tree->name->name->spelling,
                          .kind = (enum fault_kind)tree->kind,
                          .timing = (enum fault_timing)tree->timing,
                          .excluded = tree->excluded,
                          .because = tree->reason.because.at,
                          .confirmed_by = tree->reason.confirmed_by.at,
                          .cause = MODEL_NONE, .choice = MODEL_NONE,
                          .span = tree->name->span};

    if (scope_add(&draft->review, draft->arena, draft->diags,
                  &(struct symbol){.name = tree->name->name,
                                   .kind = SYMBOL_FAULT,
                                   .span = fault.span,
                                   .index = (uint32_t)draft->faults.n}))
        vec_push(&draft->faults, fault);
}

_Static_assert((int)TREE_IN_MECHANISM == (int)FAULT_IN_MECHANISM &&
                   (int)TREE_STAYS == (int)FAULT_STAYS &&
                   (int)TREE_SHORT_TO == (int)FAULT_SHORT_TO &&
                   (int)TREE_DISPLACED == (int)FAULT_DISPLACED,
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

void fault_effects(struct draft *draft)
{
    uint32_t i = 0;

    for (const struct tree_fault *tree = draft->run->review.faults.first;
         tree && i < draft->faults.n; tree = tree->next) {
        size_t first = draft->effects.n;

        if (tree->name->span.from != draft->faults.at[i].span.from)
            continue; /* its name was taken */
        effect_declare(draft, tree, i);
        if (!tree->title.at && tree->places.n &&
            draft->effects.n == first + tree->places.n)
            draft->faults.at[i].title = sentence(draft, tree, first);
        i++;
    }
}
