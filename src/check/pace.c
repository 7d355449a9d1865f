#include "check/pace.h"

#include "check/model.h"

uint32_t pace_row(const struct model *model)
{
    return model->n_choices > 0 && model->choices[0].kind == CHOICE_TIME
               ? 0 : MODEL_NONE;
}

int64_t pace_shortest(const struct model *model)
{
    uint32_t row = pace_row(model);

    return row == MODEL_NONE ? model->scan : model->choices[row].values[0];
}

int64_t pace_step(const struct model *model)
{
    uint32_t row = pace_row(model);

    return row == MODEL_NONE ? model->scan
                             : model->choices[row].values[1] -
                                   model->choices[row].values[0];
}

int64_t pace_of(const struct model *model, const uint32_t *choices)
{
    uint32_t row = pace_row(model);

    return row == MODEL_NONE ? model->scan
                             : model->choices[row].values[choices[row]];
}

static bool is_sampled(const struct model *model, const struct slot *slot)
{
    switch (slot->driver) {
    case DRIVER_CONTACT:
    case DRIVER_SENSOR:
        return true;
    case DRIVER_CHOICE:
        return model->choices[slot->driver_index].kind == CHOICE_INPUT;
    default:
        return false;
    }
}

uint32_t pace_sampler(const struct model *model, uint32_t slot)
{
    if (model->slots[slot].home != SLOT_PROGRAM ||
        !is_sampled(model, &model->slots[slot]))
        return MODEL_NONE;
    for (uint32_t i = 0; i < model->n_programs; i++) {
        const struct program *program = &model->programs[i];

        if ((program->every > 1 || program->stops) && slot >= program->frame &&
            slot < program->frame + program->pou->size)
            return i;
    }
    return MODEL_NONE;
}
