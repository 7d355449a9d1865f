#include "reference/step.h"

#include <string.h>

#include "base/ensure.h"
#include "check/pace.h"
#include "reference/eval.h"
#include "reference/exec.h"
#include "reference/monitor.h"
#include "reference/maker.h"
#include "reference/movement.h"
#include "reference/notice.h"
#include "reference/relay.h"
#include "reference/sensor.h"
#include "reference/signal.h"
#include "reference/standard.h"
#include "reference/tracing.h"

static bool is_control(const struct slot *slot)
{
    return slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL;
}

/* ---- what kind of scan it is ---- */

/* Where a choice made every value possible, the start was already put into
 * the state; here it is only noted that it counts. */
static void read_start(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_slots; i++)
        if (scan->model->slots[i].start != MODEL_NONE)
            scan_choice(scan, scan->model->slots[i].start);
}

/* Read in every scan but the first: whatever waits for time to pass reads
 * it, before any input is looked at. */
static int64_t time_of(struct scan *scan)
{
    uint32_t row = pace_row(scan->model);

    return row == MODEL_NONE || scan->setting->first
               ? scan->model->scan : scan_choice_value(scan, row);
}

static bool power_is_gone(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_choices; i++)
        if (scan->model->choices[i].kind == CHOICE_POWER)
            return scan_choice_value(scan, i) == 1;
    return false;
}

static void begin(struct scan *scan)
{
    bool first = scan->setting->first;

    memcpy(scan->now, scan->before,
           scan->layout->words * sizeof *scan->now);
    if (first)
        read_start(scan);
    scan->elapsed = time_of(scan);
    scan->dark = !first && power_is_gone(scan);
    scan->lit = !scan->dark;
    scan->returned = !first && scan->lit &&
                     scan_before(scan, PLACE_WAS_DARK, 0);
    scan->no_edge = first || scan->dark || scan->returned;
}

/* ---- step 1 ---- */

static void step_time(struct scan *scan)
{
    const struct model *model = scan->model;

    if (scan->setting->first)
        return;
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        struct maker maker;

        if (!slot->clock || (is_control(slot) && scan->dark))
            continue;
        ENSURE(i >= TIMER_AGE);
        maker = maker_of(scan, i);
        if (!maker.called)
            standard_grow(scan_now(scan, PLACE_SLOT, i - TIMER_AGE), &maker);
    }
}

/* ---- step 2 ---- */

static bool has_occurred(struct scan *scan, uint32_t cause)
{
    return *scan_now(scan, PLACE_CAUSE, cause) != 0;
}

static uint32_t causes_occurred(struct scan *scan)
{
    uint32_t count = 0;

    for (uint32_t i = 0; i < scan->model->n_causes; i++)
        count += has_occurred(scan, i);
    return count;
}

/* Would a set be complete, and with it what must never happen? */
static bool is_forbidden(struct scan *scan, uint32_t cause)
{
    const struct step_setting *setting = scan->setting;

    for (uint32_t i = 0; i < setting->n_forbidden; i++) {
        const struct cause_set *set = &setting->forbidden[i];
        uint32_t missing = 0;
        bool member = false;

        for (uint32_t k = 0; k < set->n; k++) {
            member = member || set->causes[k] == cause;
            missing += !has_occurred(scan, set->causes[k]);
        }
        if (member && missing == 1)
            return true;
    }
    return false;
}

static void step_causes(struct scan *scan)
{
    uint32_t occurred = causes_occurred(scan);

    for (uint32_t i = 0; i < scan->model->n_causes; i++) {
        const struct cause *cause = &scan->model->causes[i];

        if (has_occurred(scan, i) || !scan_cause_allowed(scan, i) ||
            occurred >= scan->setting->fault_limit ||
            (cause->first_only && !scan->setting->first) ||
            is_forbidden(scan, i))
            continue;
        if (scan_choice(scan, cause->choice) == 1) {
            *scan_now(scan, PLACE_CAUSE, i) = 1;
            occurred++;
        }
    }
}

static bool is_enabled(struct scan *scan, const struct fault *fault)
{
    for (uint32_t i = 0; i < fault->n_causes; i++)
        if (has_occurred(scan, fault->causes[i]))
            return true;
    return false;
}

/* The moments of one fault once a cause of it is there. */
static void step_fault(struct scan *scan, const struct fault *fault,
                       int64_t *present)
{
    bool changes;

    if (fault->timing == TIMING_FROM_POWER_UP && !scan->setting->first)
        return;
    if (*present && (fault->timing != TIMING_INTERMITTENT ||
                     scan->setting->n_studied > 0))
        return;
    changes = scan_choice(scan, fault->choice) == 1;
    *present = changes ? !*present : *present;
}

static void step_faults(struct scan *scan)
{
    step_causes(scan);
    for (uint32_t i = 0; i < scan->model->n_faults; i++) {
        const struct fault *fault = &scan->model->faults[i];
        int64_t *present = scan_now(scan, PLACE_FAULT, i);

        if (!is_enabled(scan, fault))
            continue;
        if (fault->own)
            step_fault(scan, fault, present);
        else
            *present = 1;
    }
}

/* ---- steps 3 and 4 ---- */

static void step_machine(struct scan *scan)
{
    if (scan->setting->first)
        return;
    movement_happen(scan);
    for (uint32_t i = 0; i < scan->model->n_mechanisms; i++)
        exec_body(scan, &scan->model->mechanisms[i]);
    movement_forget(scan);
}

static void look_at_sensors(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_sensors; i++)
        sensor_look(scan, i);
}

/* Hands take their choice when they are first asked for.  Gives back the
 * first assumption that does not hold, or n_assumptions. */
static uint32_t step_inputs(struct scan *scan)
{
    uint32_t n = scan->model->n_assumptions;
    const bool *dropped = scan->setting->dropped;
    uint32_t i;

    scan->assuming = true;
    for (i = 0; i < n && !scan->failed; i++) {
        if (dropped && dropped[i])
            continue;
        if (!eval_review(scan, scan->model->assumptions[i].condition) &&
            !scan->failed)
            break;
    }
    scan->assuming = false;
    return i;
}

/* ---- steps 5 and 6 ---- */

static bool is_stopped(const struct scan *scan, uint32_t program)
{
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];

        if (effect->kind == FAULT_STOPS && effect->first == program &&
            scan_fault(scan, effect->fault))
            return true;
    }
    return false;
}

static bool is_due(const struct scan *scan, uint32_t program)
{
    return scan_before(scan, PLACE_PHASE, program) == 0 &&
           !is_stopped(scan, program);
}

/* Lines conduct when they are asked for (signal.h): nothing in this scan
 * changes any more what they conduct. */
static void step_contacts(struct scan *scan)
{
    if (scan->dark)
        return;
    for (uint32_t i = 0; i < scan->model->n_slots; i++) {
        const struct slot *slot = &scan->model->slots[i];
        uint32_t sampler = pace_sampler(scan->model, i);

        if (sampler != MODEL_NONE && !is_due(scan, sampler))
            continue;
        if (slot->driver == DRIVER_FIXED)
            signal_set_slot(scan, i, slot->initial);
        else if (slot->driver != DRIVER_NONE &&
                 slot->driver != DRIVER_WIRING)
            scan->pending[i] = true;
    }
    relay_wake(scan, SLOT_WIRING_IN);
    exec_body(scan, &scan->model->wiring_in);
}

static void step_programs(struct scan *scan)
{
    if (scan->dark)
        return;
    for (uint32_t i = 0; i < scan->model->n_programs && !scan->failed; i++)
        if (is_due(scan, i))
            exec_program(scan, &scan->model->programs[i]);
}

/* ---- step 7 ---- */

static void command(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_actuators; i++) {
        const struct actuator *actuator = &scan->model->actuators[i];

        if (scan->lit && actuator->command != MODEL_NONE)
            scan->command[i] = signal_slot(scan, actuator->command);
        if (actuator->wired)
            continue;
        signal_set_slot(scan, actuator->slot, scan->command[i]);
        tracing_event(scan, actuator->slot, TRACING_NO_NODE,
                      (struct trace_event){.kind = TRACE_COMMAND,
                                           .from = actuator->command});
    }
}

static void force(struct scan *scan, const struct effect *effect,
                  uint32_t slot, int64_t value)
{
    signal_set_slot(scan, slot, value);
    tracing_event(scan, slot, TRACING_NO_NODE,
                  (struct trace_event){.kind = TRACE_FORCED,
                                       .fault = effect->fault});
}

/* It may do as it was asked: that is no movement, but its own doing. */
static void move_by_itself(struct scan *scan, const struct effect *effect)
{
    const struct actuator *what = &scan->model->actuators[effect->first];
    int64_t asked = signal_slot(scan, what->slot);
    int64_t value = scan_choice_value(scan, what->uncommanded);

    if (value != asked)
        scan->moved[what->uncommanded] = true;
    force(scan, effect, what->slot, value);
}

static void actuator_faults(struct scan *scan, enum fault_kind kind)
{
    for (uint32_t i = 0; i < scan->model->n_effects; i++) {
        const struct effect *effect = &scan->model->effects[i];
        uint32_t slot;

        if (effect->target != AT_ACTUATOR || effect->kind != kind ||
            !scan_fault(scan, effect->fault))
            continue;
        slot = scan->model->actuators[effect->first].slot;
        if (kind == FAULT_UNCOMMANDED)
            move_by_itself(scan, effect);
        else if (kind == FAULT_STAYS)
            force(scan, effect, slot, scan_before(scan, PLACE_SLOT, slot));
        else
            force(scan, effect, slot, kind == FAULT_SHORT_TO_SUPPLY);
    }
}

/* Without power the controller forgets all but RETAIN. */
static void restart(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_slots; i++) {
        const struct slot *slot = &scan->model->slots[i];

        if (!is_control(slot) || slot->retain)
            continue;
        signal_set_slot(scan, i, slot->initial);
        tracing_event(scan, i, TRACING_NO_NODE,
                      (struct trace_event){.kind = TRACE_RESTART,
                                           .span = slot->span});
    }
}

static void step_outputs(struct scan *scan)
{
    command(scan);
    relay_wake(scan, SLOT_WIRING_OUT);
    exec_body(scan, &scan->model->wiring_out);
    actuator_faults(scan, FAULT_STAYS);
    actuator_faults(scan, FAULT_WIRE_OFF);
    actuator_faults(scan, FAULT_SHORT_TO_SUPPLY);
    actuator_faults(scan, FAULT_UNCOMMANDED);
    if (scan->dark)
        restart(scan);
}

/* ---- step 8 ---- */

static void step_judging(struct scan *scan)
{
    const struct model *model = scan->model;

    for (uint32_t i = 0; i < model->n_recorders; i++)
        exec_body(scan, &model->recorders[i]);
    for (uint32_t i = 0; i < model->n_clocks && !scan->failed; i++)
        eval_clock(scan, i);
    for (uint32_t i = 0; i < model->n_requirements && !scan->failed; i++)
        monitor_judge(scan, i);
    if (!scan->failed)
        notice_judge(scan);
}

/* Looked at last, so that asking changes nothing. */
static void answer(struct scan *scan)
{
    const struct step_question *question = scan->setting->question;

    for (uint32_t i = 0; question && i < question->n; i++)
        question->value[i] = eval_review(scan, question->asked[i]);
    ENSURE(!scan->failed);
}

static void keep_lines(struct scan *scan)
{
    uint32_t n = scan->model->n_contacts;

    for (uint32_t i = 0; i < n; i++)
        *scan_now(scan, PLACE_CONTACT_LAST, i) =
            signal_has_past(scan, i) ? signal_stage(scan, i) : 0;
    for (uint32_t i = 0; i < scan->model->n_sensors; i++)
        *scan_now(scan, PLACE_SENSOR_LAST, i) =
            signal_has_past(scan, n + i) ? signal_stage(scan, n + i) : 0;
}

static void keep_slots(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_slots; i++) {
        const struct slot *slot = &scan->model->slots[i];

        if (slot->temp || !scan->layout->slot_kept[i])
            signal_set_slot(scan, i, slot->initial);
        else
            signal_slot(scan, i);
    }
}

/* In the dark the count begins anew. */
static void keep_phases(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_programs; i++) {
        uint32_t every = scan->model->programs[i].every;
        int64_t left = scan_before(scan, PLACE_PHASE, i);

        if (scan->dark || every <= 1)
            left = 0;
        else
            left = left == 0 ? every - 1 : left - 1;
        *scan_now(scan, PLACE_PHASE, i) = left;
    }
}

static void keep(struct scan *scan)
{
    const struct layout *layout = scan->layout;

    for (uint32_t i = 0; i < scan->model->n_controls; i++)
        *scan_now(scan, PLACE_HAND_LAST, i) =
            layout->hand_kept[i] ? signal_hand(scan, i, CODE_NOW) : 0;
    for (uint32_t i = 0; i < scan->model->n_actuators; i++)
        *scan_now(scan, PLACE_COMMANDED_LAST, i) =
            layout->command_kept[i] ? scan->command[i] : 0;
    *scan_now(scan, PLACE_WAS_DARK, 0) = scan->dark;
    keep_lines(scan);
    keep_slots(scan);
    keep_phases(scan);
}

/* ---- the whole ---- */

enum step_end step_run(struct scan *scan, uint32_t *assumption)
{
    begin(scan);
    step_time(scan);
    step_faults(scan);
    tracing_scan(scan);
    step_machine(scan);
    look_at_sensors(scan);
    *assumption = step_inputs(scan);
    if (!scan->failed && *assumption < scan->model->n_assumptions) {
        tracing_scanned(scan);
        return STEP_NOT_ALLOWED; /* one does not hold */
    }
    if (!scan->failed)
        step_contacts(scan);
    if (!scan->failed)
        step_programs(scan);
    if (!scan->failed)
        step_outputs(scan);
    if (!scan->failed)
        step_judging(scan);
    tracing_scanned(scan);
    if (scan->failed)
        return STEP_ERROR;
    answer(scan);
    keep(scan);
    return STEP_JUDGED;
}
