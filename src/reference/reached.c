#include "reference/reached.h"

#include "base/ensure.h"

void reached_normalise(const struct reached *reached, int64_t *state)
{
    uint32_t words = machine_words(reached->machine);

    for (uint32_t i = 0; i < words; i++)
        if (reached->forgotten[i])
            state[i] = 0;
}

bool reached_found(const struct reached *reached,
                   const struct step_result *result)
{
    if (reached->notice > 0)
        return result->notice[reached->notice - 1];
    return reached->requirement != MODEL_NONE &&
           result->breach[reached->requirement];
}

bool reached_at(const struct reached *reached, uint32_t state, uint32_t level)
{
    ENSURE(level > 0 && level < reached->first.n);
    return state >= reached->first.at[level - 1] &&
           state < reached->first.at[level];
}
