#include "present/decisive.h"

#include <string.h>

#include "base/arena.h"
#include "base/name.h"
#include "check/model.h"
#include "present/timing.h"
#include "study/why.h"

static const char *behind_dot(const char *path)
{
    const char *dot = name_point(path);

    return dot == NULL ? path : dot + 1;
}

static const char *slot_lane(const struct model *model, uint32_t slot)
{
    for (uint32_t a = 0; a < model->n_actuators; a++)
        if (model->actuators[a].slot == slot)
            return model->actuators[a].name->spelling;
    return model->slots[slot].home == SLOT_MACHINE
               ? model->slots[slot].path
               : behind_dot(model->slots[slot].path);
}

/* The name of the lane of a fact, NULL where it has none. */
static const char *lane_of(const struct model *model,
                           const struct fact *fact)
{
    switch (fact->thing) {
    case THING_SLOT: return slot_lane(model, fact->index);
    case THING_HAND: return model->controls[fact->index].name->spelling;
    case THING_FAULT: return model->faults[fact->index].name->spelling;
    case THING_POWER: return "power";
    default: return NULL;
    }
}

const struct timing_mark *decisive_marks(struct arena *arena,
                                         const struct model *model,
                                         const struct why *why, uint32_t *n)
{
    struct timing_mark *marks =
        arena_array(arena, why->n_steps + 1, sizeof *marks);

    *n = 0;
    for (uint32_t i = 0; i < why->n_steps; i++) {
        const struct why_step *step = &why->steps[i];
        const char *lane = lane_of(model, &step->fact);

        if (step->scan == 0 ||
            (lane == NULL && step->fact.thing != THING_NONE))
            continue;
        marks[(*n)++] = (struct timing_mark){step->scan - 1, lane, i + 1};
    }
    return marks;
}
