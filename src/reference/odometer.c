#include "reference/odometer.h"

#include <string.h>

#include "base/arena.h"

struct odometer *odometer_new(struct arena *arena, struct machine *machine)
{
    struct odometer *odometer = ARENA_NEW(arena, struct odometer);

    odometer->machine = machine;
    odometer->choices = arena_array(
        arena, machine_model(machine)->n_choices, sizeof(uint32_t));
    odometer->after =
        arena_array(arena, machine_words(machine), sizeof(int64_t));
    return odometer;
}

void odometer_begin(struct odometer *odometer,
                    const struct step_setting *setting, const int64_t *from)
{
    const struct model *model = machine_model(odometer->machine);

    odometer->setting = *setting;
    odometer->setting.first = !from;
    odometer->from = from;
    odometer->fixed = NULL;
    odometer->begun = false;
    for (uint32_t i = 0; i < model->n_choices; i++)
        odometer->choices[i] = machine_rest(&model->choices[i]);
}

void odometer_fix(struct odometer *odometer, const bool *fixed,
                  const uint32_t *choices)
{
    const struct model *model = machine_model(odometer->machine);

    odometer->fixed = fixed;
    for (uint32_t i = 0; i < model->n_choices; i++)
        if (fixed[i])
            odometer->choices[i] = choices[i];
}

/* The value after this one in the order of the row: rest, then the others
 * ascending; count when there is none. */
static uint32_t value_after(const struct choice *choice, uint32_t value)
{
    uint32_t rest = machine_rest(choice);
    uint32_t next = value == rest ? 0 : value + 1;

    return next == rest ? next + 1 : next;
}

/* The last row read turns first; one that is through goes back to rest, and
 * so do all behind it.  FALSE when all are through. */
static bool turn(struct odometer *odometer)
{
    const struct model *model = machine_model(odometer->machine);
    uint32_t n;
    const uint32_t *order = machine_read_order(odometer->machine, &n);

    while (n-- > 0) {
        const struct choice *choice = &model->choices[order[n]];
        uint32_t *value = &odometer->choices[order[n]];
        uint32_t next = value_after(choice, *value);

        if (odometer->fixed && odometer->fixed[order[n]])
            continue;
        if (next < choice->count) {
            *value = next;
            return true;
        }
        *value = machine_rest(choice);
    }
    return false;
}

const struct step_result *odometer_next(struct odometer *odometer)
{
    if (odometer->begun && !turn(odometer))
        return NULL;
    odometer->begun = true;
    if (odometer->from)
        memcpy(odometer->after, odometer->from,
               machine_words(odometer->machine) * sizeof(int64_t));
    else
        machine_start(odometer->machine, odometer->choices, odometer->after);
    return machine_step(odometer->machine, &odometer->setting,
                        odometer->choices, odometer->after);
}
