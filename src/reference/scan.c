#include "reference/scan.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/decision.h"

static void init_requirements(struct scan *scan, struct arena *arena)
{
    const struct model *model = scan->model;

    scan->breach = arena_array(arena, model->n_requirements, sizeof(bool));
    scan->trigger = arena_array(arena, model->n_requirements, sizeof(bool *));
    for (uint32_t i = 0; i < model->n_requirements; i++)
        scan->trigger[i] = arena_array(
            arena, model->requirements[i].n_triggers, sizeof(bool));
}

static void init_decisions(struct scan *scan, struct arena *arena)
{
    const struct decisions *all = scan->model->decisions;

    if (all == NULL)
        return;
    scan->asked = arena_array(arena, all->n_conditions + 1, sizeof(bool));
    scan->condition = arena_array(arena, all->n_conditions + 1, sizeof(bool));
    scan->vector = arena_array(arena, all->n_vectors + 1, sizeof(bool));
}

void scan_init(struct scan *scan, struct arena *arena,
               const struct model *model, const struct layout *layout)
{
    size_t lines = (size_t)model->n_contacts + model->n_sensors;

    memset(scan, 0, sizeof *scan);
    scan->model = model;
    scan->layout = layout;
    scan->now = arena_array(arena, layout->words, sizeof(int64_t));
    scan->read = arena_array(arena, model->n_choices, sizeof(bool));
    scan->order = arena_array(arena, model->n_choices, sizeof(uint32_t));
    scan->pending = arena_array(arena, model->n_slots, sizeof(bool));
    scan->line_known = arena_array(arena, lines, sizeof(bool));
    scan->line = arena_array(arena, lines, sizeof(int64_t));
    scan->joined = arena_array(arena, lines, sizeof(bool));
    scan->sensor = arena_array(arena, model->n_sensors, sizeof(int64_t));
    scan->seen = arena_array(arena, model->n_sensors, sizeof(int64_t));
    scan->command = arena_array(arena, model->n_actuators, sizeof(int64_t));
    scan->clock_known = arena_array(arena, model->n_clocks, sizeof(bool));
    scan->clock_value = arena_array(arena, model->n_clocks, sizeof(bool));
    scan->branch = arena_array(arena, model->n_branches, sizeof(bool));
    scan->stretch = arena_array(arena, model->n_stretches, sizeof(bool));
    init_decisions(scan, arena);
    scan->movement_held =
        arena_array(arena, model->n_movements, sizeof(bool));
    scan->moved = arena_array(arena, model->n_choices, sizeof(bool));
    scan->args = arena_array(arena, layout->most_args, sizeof(int64_t));
    init_requirements(scan, arena);
}

static void forget(bool *flags, size_t n)
{
    memset(flags, 0, n * sizeof *flags);
}

void scan_clear(struct scan *scan)
{
    const struct model *model = scan->model;
    size_t lines = (size_t)model->n_contacts + model->n_sensors;

    forget(scan->read, model->n_choices);
    forget(scan->moved, model->n_choices);
    forget(scan->pending, model->n_slots);
    forget(scan->line_known, lines);
    forget(scan->clock_known, model->n_clocks);
    forget(scan->branch, model->n_branches);
    forget(scan->stretch, model->n_stretches);
    if (model->decisions != NULL)
        forget(scan->vector, model->decisions->n_vectors);
    forget(scan->breach, model->n_requirements);
    forget(scan->notice, NOTICE_PARTS);
    for (uint32_t i = 0; i < model->n_requirements; i++)
        forget(scan->trigger[i], model->requirements[i].n_triggers);
    memset(scan->command, 0, model->n_actuators * sizeof *scan->command);
    memset(scan->sensor, 0, model->n_sensors * sizeof *scan->sensor);
    memset(scan->seen, 0, model->n_sensors * sizeof *scan->seen);
    scan->n_read = 0;
    scan->n_args = 0;
    scan->failed = false;
    scan->error = 0;
}

uint32_t scan_choice(struct scan *scan, uint32_t row)
{
    ENSURE(row < scan->model->n_choices);
    ENSURE(scan->choices[row] < scan->model->choices[row].count);
    if (!scan->read[row]) {
        scan->read[row] = true;
        scan->order[scan->n_read++] = row;
    }
    return scan->choices[row];
}

int64_t scan_choice_value(struct scan *scan, uint32_t row)
{
    uint32_t index = scan_choice(scan, row);

    return scan->model->choices[row].values[index];
}

void scan_fail(struct scan *scan, uint32_t site)
{
    if (scan->failed)
        return;
    ENSURE(site < scan->model->n_errors);
    scan->failed = true;
    scan->error = site;
}

int64_t scan_before(const struct scan *scan, enum place_kind kind,
                    uint32_t index)
{
    return scan->before[layout_at(scan->layout, kind, index)];
}

int64_t *scan_now(struct scan *scan, enum place_kind kind, uint32_t index)
{
    return &scan->now[layout_at(scan->layout, kind, index)];
}

bool scan_cause_allowed(const struct scan *scan, uint32_t cause)
{
    const bool *allowed = scan->setting->allowed;

    return scan->setting->fault_limit > 0 && (!allowed || allowed[cause]);
}

bool scan_fault_allowed(const struct scan *scan, uint32_t fault)
{
    const struct fault *what = &scan->model->faults[fault];

    for (uint32_t i = 0; i < what->n_causes; i++)
        if (scan_cause_allowed(scan, what->causes[i]))
            return true;
    return false;
}

bool scan_fault(const struct scan *scan, uint32_t fault)
{
    return scan->now[layout_at(scan->layout, PLACE_FAULT, fault)];
}
