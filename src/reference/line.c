#include "reference/line.h"

bool line_acted_on(const struct model *model, const struct effect *effect,
                   uint32_t line)
{
    if (effect->target == AT_CONTACTS)
        return line >= effect->first && line - effect->first < effect->count;
    return effect->target == AT_SENSOR &&
           line == model->n_contacts + effect->first;
}

bool line_shorted(const struct model *model, const struct effect *effect,
                  uint32_t line)
{
    uint32_t other = effect->other_target == AT_SENSOR
                         ? model->n_contacts + effect->other : effect->other;

    return effect->kind == FAULT_SHORT_TO &&
           (line_acted_on(model, effect, line) || line == other);
}
