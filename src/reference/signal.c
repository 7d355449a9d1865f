#include "reference/signal.h"

#include <string.h>

#include "base/ensure.h"
#include "reference/line.h"
#include "reference/tracing.h"

int64_t signal_hand(struct scan *scan, uint32_t control, enum code_when when)
{
    ENSURE(control < scan->model->n_controls);
    if (when == CODE_LAST || (when == CODE_PREVIOUS && !scan->no_edge))
        return scan_before(scan, PLACE_HAND_LAST, control);
    return scan_choice_value(scan, scan->model->controls[control].choice);
}

int64_t signal_sound(const struct contact *contact, int64_t hand)
{
    switch (contact->kind) {
    case CONTACT_CLOSING:
        return hand != 0;
    case CONTACT_OPENING:
        return hand == 0;
    case CONTACT_ON:
        return hand == contact->position;
    default:
        return hand;
    }
}

int64_t signal_contact(struct scan *scan, uint32_t contact,
                       enum code_when when)
{
    const struct contact *of = &scan->model->contacts[contact];

    ENSURE(contact < scan->model->n_contacts);
    return signal_sound(of, signal_hand(scan, of->control, when));
}

static bool is_contact_stage(enum fault_kind kind)
{
    return kind == FAULT_DOES_NOT_OPEN || kind == FAULT_DOES_NOT_CLOSE ||
           kind == FAULT_STAYS;
}

bool signal_has_past(const struct scan *scan, uint32_t line)
{
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (is_contact_stage(effect->kind) &&
            line_acted_on(scan->model, effect, line) &&
            scan_fault_allowed(scan, effect->fault))
            return true;
    }
    return false;
}

/* Before the first scan the past is a choice of its own, held in the state
 * by machine_start. */
static int64_t last_of(struct scan *scan, uint32_t line)
{
    uint32_t n = scan->model->n_contacts;
    uint32_t past = line < n ? scan->model->contacts[line].past
                             : scan->model->sensors[line - n].past;

    if (scan->setting->first && past != MODEL_NONE)
        scan_choice(scan, past);
    return line < n ? scan_before(scan, PLACE_CONTACT_LAST, line)
                    : scan_before(scan, PLACE_SENSOR_LAST, line - n);
}

static int64_t faulty_contact(struct scan *scan, enum fault_kind kind,
                              uint32_t line, int64_t value)
{
    switch (kind) {
    case FAULT_DOES_NOT_OPEN:
        return value || last_of(scan, line);
    case FAULT_DOES_NOT_CLOSE:
        return value && last_of(scan, line);
    default:
        return last_of(scan, line);
    }
}

int64_t signal_displaced(struct scan *scan, const struct code_expr *expr)
{
    uint32_t slot = expr->variable.index;
    int64_t value = signal_slot(scan, slot);

    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (effect->kind == FAULT_DISPLACED &&
            effect->first == expr->index && effect->along == slot &&
            scan_fault(scan, effect->fault))
            value += effect->by;
    }
    if (value > expr->type->high)
        return expr->type->high;
    return value < expr->type->low ? expr->type->low : value;
}

int64_t signal_stage(struct scan *scan, uint32_t line)
{
    uint32_t n = scan->model->n_contacts;
    int64_t value;

    if (scan->line_known[line])
        return scan->line[line];
    value = line < n ? signal_contact(scan, line, CODE_NOW)
                     : scan->seen[line - n];
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (scan_fault(scan, effect->fault) &&
            is_contact_stage(effect->kind) &&
            line_acted_on(scan->model, effect, line))
            value = faulty_contact(scan, effect->kind, line, value);
    }
    scan->line_known[line] = true;
    scan->line[line] = value;
    return value;
}

static bool has_fault(const struct scan *scan, enum fault_kind kind,
                      uint32_t line)
{
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (effect->kind == kind && scan_fault(scan, effect->fault) &&
            line_acted_on(scan->model, effect, line))
            return true;
    }
    return false;
}

static int64_t after_wire(struct scan *scan, uint32_t line)
{
    return has_fault(scan, FAULT_WIRE_OFF, line) ? 0
                                                 : signal_stage(scan, line);
}

/* One short: if a line of it is joined, all become so.  Gives back whether
 * any was new. */
static bool join(struct scan *scan, const struct effect *effect,
                 uint32_t lines)
{
    bool any = false, grew = false;

    for (uint32_t i = 0; i < lines; i++)
        any = any || (scan->joined[i] && line_shorted(scan->model, effect, i));
    for (uint32_t i = 0; any && i < lines; i++) {
        if (scan->joined[i] || !line_shorted(scan->model, effect, i))
            continue;
        scan->joined[i] = true;
        grew = true;
    }
    return grew;
}

static void join_all(struct scan *scan, uint32_t line, uint32_t lines)
{
    bool grew = true;

    memset(scan->joined, 0, lines * sizeof *scan->joined);
    scan->joined[line] = true;
    while (grew) {
        grew = false;
        for (uint32_t i = 0; i < scan->model->n_effects; i++) {
            const struct effect *effect = &scan->model->effects[i];

            if (effect->kind == FAULT_SHORT_TO &&
                scan_fault(scan, effect->fault) &&
                join(scan, effect, lines))
                grew = true;
        }
    }
}

int64_t signal_conducts(struct scan *scan, uint32_t line)
{
    uint32_t lines = scan->model->n_contacts + scan->model->n_sensors;
    int64_t value;

    ENSURE(line < lines);
    value = after_wire(scan, line);
    join_all(scan, line, lines);
    for (uint32_t i = 0; i < lines; i++)
        if (scan->joined[i] && i != line)
            value = after_wire(scan, i) || value;
    if (has_fault(scan, FAULT_SHORT_TO_SUPPLY, line))
        value = 1;
    tracing_line(scan, line, value);
    return value;
}

static int64_t sample(struct scan *scan, const struct slot *slot)
{
    switch (slot->driver) {
    case DRIVER_CONTACT:
        return signal_conducts(scan, slot->driver_index);
    case DRIVER_SENSOR:
        return signal_conducts(
            scan, scan->model->n_contacts + slot->driver_index);
    default:
        ENSURE(slot->driver == DRIVER_CHOICE);
        return scan_choice_value(scan, slot->driver_index);
    }
}

/* Assumptions narrow what step 5 is about to give. */
static bool is_assumed(const struct scan *scan, const struct slot *slot)
{
    return scan->assuming && (slot->driver == DRIVER_CHOICE ||
                              slot->driver == DRIVER_FIXED);
}

int64_t signal_slot(struct scan *scan, uint32_t slot)
{
    const struct slot *of = &scan->model->slots[slot];
    int64_t *value = scan_now(scan, PLACE_SLOT, slot);

    if (is_assumed(scan, of))
        return of->driver == DRIVER_FIXED ? of->initial : sample(scan, of);
    if (scan->pending[slot]) {
        *value = sample(scan, of);
        scan->pending[slot] = false;
        tracing_event(scan, slot, TRACING_NO_NODE,
                      (struct trace_event){.kind = TRACE_SAMPLE});
    }
    return *value;
}

void signal_set_slot(struct scan *scan, uint32_t slot, int64_t value)
{
    scan->pending[slot] = false;
    *scan_now(scan, PLACE_SLOT, slot) = value;
}
