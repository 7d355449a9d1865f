#include "present/unfaulted.h"

#include "base/text.h"
#include "check/model.h"

static bool has_fault(const struct model *model, enum fault_target target,
                      uint32_t index)
{
    for (uint32_t e = 0; e < model->n_effects; e++) {
        const struct effect *effect = &model->effects[e];

        if (effect->target == target && index >= effect->first &&
            index - effect->first < effect->count)
            return true;
        if (effect->kind == FAULT_SHORT_TO &&
            effect->other_target == target && effect->other == index)
            return true;
    }
    return false;
}

/* Things of one kind. */
struct kind {
    enum fault_target target;
    const char *noun;
    uint32_t n;
};

static const char *name_of(const struct model *model,
                           enum fault_target target, uint32_t index)
{
    switch (target) {
    case AT_CONTACTS: return model->contacts[index].name->spelling;
    case AT_SENSOR: return model->sensors[index].name->spelling;
    default: return model->actuators[index].name->spelling;
    }
}

static void add_kind(struct text *out, const struct model *model,
                     const struct kind *kind, const char *before)
{
    bool any = false;

    for (uint32_t i = 0; i < kind->n; i++) {
        if (has_fault(model, kind->target, i))
            continue;
        if (any)
            text_add(out, ", ");
        else
            text_printf(out, "%sno fault is declared for the %s ", before,
                        kind->noun);
        text_add(out, name_of(model, kind->target, i));
        any = true;
    }
    text_add(out, any ? "\n" : "");
}

void unfaulted_add(struct text *out, const struct model *model,
                   const char *before)
{
    const struct kind kinds[] = {
        {AT_CONTACTS, "contacts", model->n_contacts},
        {AT_SENSOR, "sensors", model->n_sensors},
        {AT_ACTUATOR, "actuators", model->n_actuators}};

    for (unsigned i = 0; i < sizeof kinds / sizeof *kinds; i++)
        add_kind(out, model, &kinds[i], before);
}
