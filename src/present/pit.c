#include "present/pit.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/quote.h"
#include "present/say.h"
#include "reference/trap.h"

enum { INDENT = 6 };

/* A title with a comma in it would read as two. */
static void add_title(struct text *out, const char *title)
{
    text_printf(out, strchr(title, ',') != NULL ? "'%s'" : "%s", title);
}

static void add_names(struct text *out, const struct model *model,
                      const struct requirement *requirement)
{
    if (requirement->n_by == 0)
        text_add(out, "the operators");
    for (uint32_t i = 0; i < requirement->n_by; i++) {
        const struct by_whom *whom = &requirement->by[i];

        text_add(out, i == 0 ? "" : ", ");
        add_title(out, whom->kind == CHOICE_OPERATOR
                           ? model->controls[whom->of].title
                           : model->slots[whom->of].path);
    }
}

static void add_value(struct text *out, const struct type *type,
                      bool actuator, int64_t value)
{
    if (actuator && type->kind == TYPE_BOOL)
        text_add(out, value != 0 ? "on" : "off");
    else
        say_value(out, type, value);
}

static void add_values(struct text *out, const struct type *type,
                       bool actuator, const struct trap_values *values)
{
    uint32_t shown = values->n < TRAP_VALUES ? values->n : TRAP_VALUES;

    for (uint32_t i = 0; i < shown; i++) {
        bool last = i + 1 == shown && values->n <= TRAP_VALUES;

        text_add(out, i == 0 ? " " : last ? " or " : ", ");
        add_value(out, type, actuator, values->at[i]);
    }
    if (values->n > TRAP_VALUES)
        text_add(out, " or others");
}

/* Of what has no part in it the walk knows nothing. */
static bool is_shown(const struct trap *trap, uint32_t slot)
{
    return !trap->matters || trap->matters[slot];
}

/* "gap Narrow; tailgate lowers off".  False: nothing is to be shown. */
static bool add_state(struct text *out, const struct model *model,
                      const struct trap *trap)
{
    const char *first = ": ", *between = first;

    for (uint32_t s = 0; s < model->n_slots; s++) {
        const struct slot *slot = &model->slots[s];

        if (slot->home != SLOT_MACHINE || slot->temp ||
            strchr(slot->path, '.') != NULL || !is_shown(trap, s))
            continue;
        text_printf(out, "%s%s", between, slot->path);
        add_values(out, slot->type, false, &trap->values[s]);
        between = "; ";
    }
    for (uint32_t a = 0; a < model->n_actuators; a++) {
        const struct actuator *actuator = &model->actuators[a];

        if (!is_shown(trap, actuator->slot))
            continue;
        text_printf(out, "%s%s", between, actuator->title);
        add_values(out, actuator->type, true, &trap->values[actuator->slot]);
        between = "; ";
    }
    return between != first;
}

static void add_possible(struct text *out, const struct model *model,
                         const struct sources *sources,
                         const struct requirement *requirement,
                         const struct trap *trap)
{
    if (requirement->b != NULL) {
        text_add(out, "while ");
        quote_span(out, sources, requirement->b->span);
        text_add(out, ", ");
    }
    text_add(out, trap->against ? "all others can act so that, whatever "
                                : "whatever ");
    add_names(out, model, requirement);
    text_add(out, " and the machine do, this is all that stays possible");
    if (!add_state(out, model, trap))
        text_add(out, ": nothing that brings it about");
    text_add(out, "\n");
}

void pit_add(struct text *out, const struct model *model,
             const struct sources *sources,
             const struct requirement *requirement, const struct trap *trap)
{
    text_pad(out, ' ', INDENT);
    if (trap->end == TRAP_TOO_LARGE) {
        text_add(out, "not looked at again by the second implementation: "
                      "too many situations can still follow\n");
        return;
    }
    add_possible(out, model, sources, requirement, trap);
    text_pad(out, ' ', INDENT);
    text_add(out, "looked at again by the second implementation: ");
    amount_of(out, trap->states, "situation");
    text_printf(out, "%s, and no way out of %s%s\n",
                trap->matters ? " of the part that matters" : "",
                trap->states == 1 ? "it" : "them",
                trap->matters ? "; all else has no influence on that" : "");
}
