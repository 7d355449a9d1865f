#include "reference/machine.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/decision.h"
#include "reference/exec.h"
#include "reference/scan.h"
#include "reference/signal.h"
#include "reference/step.h"

struct machine {
    const struct model *model;
    const struct layout *layout;
    struct scan scan;
    struct step_result result;
    bool *contact; /* what result.contact shows */
};

struct machine *machine_new(struct arena *arena, const struct model *model)
{
    struct machine *machine = ARENA_NEW(arena, struct machine);

    machine->model = model;
    machine->layout = layout_new(arena, model);
    machine->contact = arena_array(arena, model->n_contacts, sizeof(bool));
    scan_init(&machine->scan, arena, model, machine->layout);
    exec_init(&machine->scan);
    return machine;
}

const struct model *machine_model(const struct machine *machine)
{
    return machine->model;
}

uint32_t machine_words(const struct machine *machine)
{
    return machine->layout->words;
}

/* ---- the state before the first scan ---- */

static int64_t chosen(const struct machine *machine, uint32_t row,
                      const uint32_t *choices)
{
    ENSURE(row < machine->model->n_choices);
    ENSURE(choices[row] < machine->model->choices[row].count);
    return machine->model->choices[row].values[choices[row]];
}

static void start_line(const struct machine *machine, struct place_id place,
                       uint32_t past, const uint32_t *choices, int64_t *state)
{
    if (past != MODEL_NONE)
        state[machine_word(machine, place)] =
            chosen(machine, past, choices);
}

void machine_start(struct machine *machine, const uint32_t *choices,
                   int64_t *state)
{
    const struct model *model = machine->model;
    int64_t *slot_words = state + machine->layout->at[PLACE_SLOT];

    memset(state, 0, machine->layout->words * sizeof *state);
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];

        if (slot->start != MODEL_NONE)
            slot_words[i] = chosen(machine, slot->start, choices);
        else if (slot->home != SLOT_ACTUATOR)
            slot_words[i] = slot->initial;
    }
    for (uint32_t i = 0; i < model->n_contacts; i++)
        start_line(machine, (struct place_id){PLACE_CONTACT_LAST, i},
                   model->contacts[i].past, choices, state);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        start_line(machine, (struct place_id){PLACE_SENSOR_LAST, i},
                   model->sensors[i].past, choices, state);
}

/* ---- one scan ---- */

static bool counts(const struct scan *scan, uint32_t row)
{
    return !scan->setting->counted || scan->setting->counted[row];
}

static void cost_operator(const struct scan *scan, struct step_result *result)
{
    result->operator_cost = result->other_operator_cost = 0;
    for (uint32_t i = 0; i < scan->model->n_choices; i++) {
        const struct choice *choice = &scan->model->choices[i];

        if ((choice->kind != CHOICE_OPERATOR &&
             choice->kind != CHOICE_INPUT) ||
            scan->choices[i] == choice->rest)
            continue;
        if (counts(scan, i))
            result->operator_cost++;
        else
            result->other_operator_cost++;
    }
}

static void cost_movement(const struct scan *scan, struct step_result *result)
{
    result->movement_cost = result->other_movement_cost = 0;
    for (uint32_t i = 0; i < scan->model->n_choices; i++) {
        if (!scan->moved[i])
            continue;
        if (counts(scan, i))
            result->movement_cost++;
        else
            result->other_movement_cost++;
    }
}

static void cost_fault(struct scan *scan, struct step_result *result)
{
    uint32_t occurred = 0, limit = scan->setting->fault_limit;

    result->fault_cost = result->other_fault_cost = 0;
    for (uint32_t i = 0; i < scan->model->n_causes; i++) {
        bool now = *scan_now(scan, PLACE_CAUSE, i) != 0;

        occurred += now;
        if (!now || scan_before(scan, PLACE_CAUSE, i))
            continue;
        if (counts(scan, scan->model->causes[i].choice))
            result->fault_cost++;
        else
            result->other_fault_cost++;
    }
    result->fault_budget = limit > occurred ? limit - occurred : 0;
}

/* For views only: a hand shown here was not read because of that. */
static void show_contacts(struct machine *machine)
{
    const struct model *model = machine->model;

    for (uint32_t i = 0; i < model->n_contacts; i++) {
        const struct contact *contact = &model->contacts[i];
        uint32_t row = model->controls[contact->control].choice;

        machine->contact[i] =
            contact->kind != CONTACT_VALUE &&
            signal_sound(contact,
                         chosen(machine, row, machine->scan.choices));
    }
}

static void show(struct machine *machine, enum step_end end)
{
    struct scan *scan = &machine->scan;
    struct step_result *result = &machine->result;

    result->end = end;
    result->error = scan->error;
    result->first = scan->setting->first;
    result->dark = scan->dark;
    result->returned = scan->returned;
    result->breach = scan->breach;
    result->trigger = (const bool *const *)scan->trigger;
    result->notice = scan->notice;
    result->branch = scan->branch;
    result->stretch = scan->stretch;
    result->vector = scan->vector;
    result->command = scan->command;
    result->contact = machine->contact;
    result->sensor = scan->sensor;
    cost_operator(scan, result);
    cost_movement(scan, result);
    cost_fault(scan, result);
    show_contacts(machine);
}

/* Nothing is judged in a scan that has no judging; one that ends in a run-time
 * error has run into branches all the same. */
static void unjudge(struct scan *scan, enum step_end end)
{
    const struct model *model = scan->model;

    memset(scan->breach, 0, model->n_requirements * sizeof(bool));
    if (end != STEP_ERROR) {
        memset(scan->branch, 0, model->n_branches * sizeof(bool));
        memset(scan->stretch, 0, model->n_stretches * sizeof(bool));
        if (model->decisions != NULL)
            memset(scan->vector, 0,
                   model->decisions->n_vectors * sizeof(bool));
    }
    memset(scan->notice, 0, sizeof scan->notice);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        memset(scan->trigger[i], 0,
               model->requirements[i].n_triggers * sizeof(bool));
}

const struct step_result *machine_step(struct machine *machine,
                                       const struct step_setting *setting,
                                       const uint32_t *choices,
                                       int64_t *state)
{
    struct scan *scan = &machine->scan;
    enum step_end end;

    scan_clear(scan);
    scan->setting = setting;
    scan->choices = choices;
    scan->before = state;
    end = step_run(scan, &machine->result.assumption);
    if (end != STEP_JUDGED)
        unjudge(scan, end);
    show(machine, end);
    if (end == STEP_JUDGED)
        memcpy(state, scan->now, machine->layout->words * sizeof *state);
    return &machine->result;
}

void machine_watch(struct machine *machine, struct tracing *tracing)
{
    machine->scan.tracing = tracing;
}

/* ---- looking at it ---- */

const struct layout *machine_layout(const struct machine *machine)
{
    return machine->layout;
}

uint32_t machine_word(const struct machine *machine, struct place_id place)
{
    return layout_word(machine->layout, place);
}

/* An age, or what may hold an ET that goes as far. */
static bool is_age(const struct machine *machine, struct place_id place)
{
    const struct slot *slot;

    switch (place.kind) {
    case PLACE_SLOT:
        slot = &machine->model->slots[place.index];
        return slot->clock ||
               (machine->layout->beyond &&
                (slot->type->kind == TYPE_TIME ||
                 slot->type->kind == TYPE_INTEGER));
    case PLACE_MOVE_TOTAL:
    case PLACE_MOVE_UNBROKEN:
    case PLACE_CLOCK_AGE:
    case PLACE_MONITOR_AGE:
    case PLACE_EXCEPT_AGE:
        return true;
    default:
        return false;
    }
}

int64_t machine_place(const struct machine *machine, const int64_t *state,
                      struct place_id place, int64_t most)
{
    int64_t value = state[machine_word(machine, place)];

    return is_age(machine, place) && value > most ? most : value;
}

const bool *machine_read_rows(const struct machine *machine)
{
    return machine->scan.read;
}

const uint32_t *machine_read_order(const struct machine *machine,
                                   uint32_t *n)
{
    *n = machine->scan.n_read;
    return machine->scan.order;
}

/* Only operators, inputs and SHARED values have a rest position; all other
 * choices stand at 0. */
static bool has_rest(const struct choice *choice)
{
    return choice->kind == CHOICE_OPERATOR || choice->kind == CHOICE_INPUT ||
           choice->kind == CHOICE_SHARED;
}

uint32_t machine_rest(const struct choice *choice)
{
    return has_rest(choice) ? choice->rest : 0;
}

uint32_t machine_rank(const struct choice *choice, uint32_t index)
{
    uint32_t rest = machine_rest(choice);

    if (index == rest)
        return 0;
    return index < rest ? index + 1 : index;
}
