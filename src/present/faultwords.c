#include "present/faultwords.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"

static const char *const kinds[] = {
    [FAULT_DOES_NOT_OPEN] = "DOES NOT OPEN",
    [FAULT_DOES_NOT_CLOSE] = "DOES NOT CLOSE",
    [FAULT_STAYS] = "STAYS",
    [FAULT_WIRE_OFF] = "WIRE OFF",
    [FAULT_SHORT_TO_SUPPLY] = "SHORT TO SUPPLY",
    [FAULT_SHORT_TO] = "SHORT TO",
    [FAULT_UNCOMMANDED] = "MOVES WITHOUT COMMAND",
    [FAULT_DISPLACED] = "DISPLACED BY",
    [FAULT_STOPS] = "STOPS"};

const char *faultwords_kind(const struct effect *effect)
{
    return kinds[effect->kind];
}

/* ---- places ---- */

static uint32_t contacts_of(const struct model *model, uint32_t control)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < model->n_contacts; i++)
        n += model->contacts[i].control == control;
    return n;
}

const char *faultwords_place(const struct model *model,
                             const struct effect *effect)
{
    const struct contact *contact;

    switch (effect->target) {
    case AT_SENSOR: return model->sensors[effect->first].name->spelling;
    case AT_ACTUATOR: return model->actuators[effect->first].name->spelling;
    case AT_RELAY: return model->slots[effect->first].path;
    case AT_PROGRAM: return model->programs[effect->first].name->spelling;
    default: break;
    }
    contact = &model->contacts[effect->first];
    if (effect->count > 1 &&
        effect->count == contacts_of(model, contact->control))
        return model->controls[contact->control].name->spelling;
    return contact->name->spelling;
}

/* Where it stands, or NULL. */
static const char *where(const struct model *model,
                         const struct effect *effect)
{
    switch (effect->target) {
    case AT_SENSOR: return model->sensors[effect->first].place;
    case AT_ACTUATOR: return model->actuators[effect->first].place;
    case AT_CONTACTS:
        return model->controls[model->contacts[effect->first].control].place;
    default: return NULL;
    }
}

static bool is_of(const struct cause *cause, uint32_t fault)
{
    for (uint32_t i = 0; i < cause->n_members; i++)
        if (cause->members[i] == fault)
            return true;
    return false;
}

/* ---- pieces, each said once ---- */

struct pieces {
    struct text *out;
    size_t start;
};

static bool was_said(const struct pieces *pieces, const char *piece)
{
    const char *at = text_str(pieces->out) + pieces->start;
    size_t n = strlen(piece);

    while (*at != '\0') {
        size_t have = strcspn(at, ";");

        if (have == n && memcmp(at, piece, n) == 0)
            return true;
        at += have;
        at += *at == ';' ? 2 : 0;
    }
    return false;
}

static void say(struct pieces *pieces, const char *piece)
{
    if (was_said(pieces, piece))
        return;
    text_add(pieces->out, pieces->out->n > pieces->start ? "; " : "");
    text_add(pieces->out, piece);
}

static bool has_mechanism(const struct model *model,
                          const struct cause *cause)
{
    for (uint32_t i = 0; i < cause->n_members; i++)
        if (model->faults[cause->members[i]].kind == FAULT_IN_MECHANISM)
            return true;
    return false;
}

void faultwords_item(struct text *out, const struct model *model,
                     const struct cause *cause)
{
    struct pieces pieces = {out, out->n};

    for (uint32_t e = 0; e < model->n_effects; e++)
        if (is_of(cause, model->effects[e].fault))
            say(&pieces, faultwords_place(model, &model->effects[e]));
    if (has_mechanism(model, cause))
        say(&pieces, "the mechanism");
}

void faultwords_where(struct text *out, const struct model *model,
                      const struct cause *cause)
{
    struct pieces pieces = {out, out->n};

    for (uint32_t e = 0; e < model->n_effects; e++) {
        const struct effect *effect = &model->effects[e];

        if (is_of(cause, effect->fault) && where(model, effect) != NULL)
            say(&pieces, where(model, effect));
    }
}

/* ---- how it fails ---- */

static void add_mode(struct text *out, const struct model *model,
                     const struct effect *effect)
{
    const struct effect other = {.target = effect->other_target,
                                 .first = effect->other, .count = 1};

    text_add(out, kinds[effect->kind]);
    if (effect->kind == FAULT_SHORT_TO)
        text_printf(out, " %s", faultwords_place(model, &other));
    else if (effect->kind == FAULT_DISPLACED)
        text_printf(out, " %lld ALONG %s", (long long)effect->by,
                    model->slots[effect->along].path);
}

void faultwords_mode(struct text *out, const struct model *model,
                     const struct cause *cause)
{
    struct pieces pieces = {out, out->n};

    for (uint32_t e = 0; e < model->n_effects; e++) {
        struct text mode = {0};

        if (!is_of(cause, model->effects[e].fault))
            continue;
        add_mode(&mode, model, &model->effects[e]);
        say(&pieces, text_str(&mode));
        text_release(&mode);
    }
    if (has_mechanism(model, cause))
        say(&pieces, "IN MECHANISM");
}

/* ---- when it is there ---- */

static const char *const timings[] = {
    [TIMING_PERMANENT] = "stays",
    [TIMING_INTERMITTENT] = "comes and goes",
    [TIMING_FROM_POWER_UP] = "from power-up"};

void faultwords_members(struct text *out, const struct model *model,
                        const struct cause *cause)
{
    for (uint32_t i = 0; cause->group && i < cause->n_members; i++) {
        const struct fault *fault = &model->faults[cause->members[i]];

        text_printf(out, "%s%s (%s)", i == 0 ? "one cause of " : ", ",
                    fault->name->spelling, timings[fault->timing]);
    }
}

const char *faultwords_timing(const struct model *model,
                              const struct cause *cause)
{
    enum fault_timing timing = model->faults[cause->members[0]].timing;

    for (uint32_t i = 1; i < cause->n_members; i++)
        if (model->faults[cause->members[i]].timing != timing)
            return "as its faults";
    return timings[timing];
}
