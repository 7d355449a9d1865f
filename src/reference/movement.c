#include "reference/movement.h"

#include "reference/eval.h"
#include "reference/signal.h"
#include "reference/tracing.h"

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* FROM and condition, on the values at the beginning of the machine step:
 * nothing has changed a machine variable or an actuator in this scan yet. */
static bool holds(struct scan *scan, const struct movement *movement)
{
    bool condition = eval_review(scan, movement->condition);

    return condition && !scan->failed &&
           scan_before(scan, PLACE_SLOT, movement->slot) == movement->from;
}

static void advance(struct scan *scan, uint32_t index, bool held)
{
    const struct movement *movement = &scan->model->movements[index];
    int64_t *total = scan_now(scan, PLACE_MOVE_TOTAL, index);
    int64_t *unbroken = scan_now(scan, PLACE_MOVE_UNBROKEN, index);
    int64_t elapsed = scan->elapsed;

    if (scan->setting->free_times)
        return;
    if (held)
        *total = least(*total + elapsed, movement->lower);
    *unbroken = held && movement->upper >= 0
                    ? least(*unbroken + elapsed, movement->upper) : 0;
}

static bool may(struct scan *scan, uint32_t index)
{
    const struct movement *movement = &scan->model->movements[index];

    return scan->movement_held[index] &&
           (scan->setting->free_times ||
            *scan_now(scan, PLACE_MOVE_TOTAL, index) >= movement->lower);
}

static bool must(struct scan *scan, uint32_t index)
{
    const struct movement *movement = &scan->model->movements[index];

    return scan->movement_held[index] && !scan->setting->free_times &&
           movement->upper >= 0 &&
           *scan_now(scan, PLACE_MOVE_UNBROKEN, index) >= movement->upper;
}

/* The conditions of all movements, in order, are what was evaluated last. */
static void move(struct scan *scan, const struct movement *movement)
{
    uint32_t number = (uint32_t)(movement - scan->model->movements);
    uint32_t depth = tracing_depth(scan) + number;

    signal_set_slot(scan, movement->slot, movement->to);
    scan->moved[movement->choice] = true;
    tracing_event(scan, movement->slot, depth - scan->model->n_movements,
                  (struct trace_event){.kind = TRACE_MOVE,
                                       .span = movement->span});
}

/* All movements of one variable share a choice row. */
static void choose(struct scan *scan, uint32_t row)
{
    const struct movement *movements = scan->model->movements;
    uint32_t held = 0, can = 0, forced = 0, n_forced = 0;

    for (uint32_t i = 0; i < scan->model->n_movements; i++) {
        if (movements[i].choice != row)
            continue;
        held += scan->movement_held[i];
        can += may(scan, i);
        if (must(scan, i)) {
            forced = i;
            n_forced++;
        }
    }
    if (can == 0)
        return;
    for (uint32_t i = 0; i < scan->model->n_movements; i++) {
        if (movements[i].choice == row && may(scan, i) &&
            movements[i].number == scan_choice(scan, row)) {
            move(scan, &movements[i]);
            return;
        }
    }
    if (held == 1 && n_forced == 1)
        move(scan, &movements[forced]);
}

void movement_happen(struct scan *scan)
{
    const struct model *model = scan->model;

    for (uint32_t i = 0; i < model->n_movements; i++)
        scan->movement_held[i] = holds(scan, &model->movements[i]);
    if (scan->failed)
        return;
    for (uint32_t i = 0; i < model->n_movements; i++)
        advance(scan, i, scan->movement_held[i]);
    for (uint32_t row = 0; row < model->n_choices; row++)
        if (model->choices[row].kind == CHOICE_MACHINE)
            choose(scan, row);
}

void movement_forget(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_movements; i++) {
        uint32_t slot = scan->model->movements[i].slot;

        if (*scan_now(scan, PLACE_SLOT, slot) ==
            scan_before(scan, PLACE_SLOT, slot))
            continue;
        *scan_now(scan, PLACE_MOVE_TOTAL, i) = 0;
        *scan_now(scan, PLACE_MOVE_UNBROKEN, i) = 0;
    }
}
