#include "reference/relay.h"

#include "reference/signal.h"
#include "reference/tracing.h"

/* docs/notes/step.md, section 3: the coil is looked at before the contacts. */
static bool is_of_coil(enum fault_kind kind)
{
    return kind == FAULT_WIRE_OFF || kind == FAULT_SHORT_TO_SUPPLY;
}

static int64_t made_of(enum fault_kind kind, int64_t value, int64_t before)
{
    switch (kind) {
    case FAULT_WIRE_OFF: return 0;
    case FAULT_SHORT_TO_SUPPLY: return 1;
    case FAULT_DOES_NOT_OPEN: return value || before;
    case FAULT_DOES_NOT_CLOSE: return value && before;
    default: return before;
    }
}

static void act(struct scan *scan, uint32_t slot,
                const struct effect *effect)
{
    int64_t before = scan_before(scan, PLACE_SLOT, slot);

    signal_set_slot(scan, slot,
                    made_of(effect->kind, signal_slot(scan, slot), before));
    tracing_event(scan, slot, TRACING_NO_NODE,
                  (struct trace_event){.kind = TRACE_FORCED,
                                       .fault = effect->fault});
}

static bool acts(const struct scan *scan, const struct effect *effect,
                 uint32_t slot)
{
    return effect->target == AT_RELAY && effect->first == slot &&
           scan_fault(scan, effect->fault);
}

void relay_stored(struct scan *scan, uint32_t slot)
{
    const struct model *model = scan->model;
    static const enum fault_kind coil[] = {FAULT_WIRE_OFF,
                                           FAULT_SHORT_TO_SUPPLY};

    if (scan->failed || (model->slots[slot].home != SLOT_WIRING_IN &&
                         model->slots[slot].home != SLOT_WIRING_OUT))
        return;
    for (int k = 0; k < 2; k++)
        for (uint32_t i = 0; i < model->n_effects; i++)
            if (acts(scan, &model->effects[i], slot) &&
                model->effects[i].kind == coil[k])
                act(scan, slot, &model->effects[i]);
    for (uint32_t i = 0; i < model->n_effects; i++)
        if (acts(scan, &model->effects[i], slot) &&
            !is_of_coil(model->effects[i].kind))
            act(scan, slot, &model->effects[i]);
}

void relay_wake(struct scan *scan, enum slot_home home)
{
    for (uint32_t i = 0; i < scan->model->n_slots; i++)
        if (scan->model->slots[i].home == home &&
            !scan->model->slots[i].temp)
            relay_stored(scan, i);
}
