#include "study/handtime.h"

#include "check/model.h"
#include "check/pace.h"
#include "engine/concrete/steer.h"
#include "study/handstep.h"

uint64_t handtime_least(const struct model *model, int64_t ms)
{
    return ms <= 0 ? 0 : (uint64_t)(ms / model->scan);
}

uint64_t handtime_most(const struct model *model, int64_t ms)
{
    int64_t shortest = pace_shortest(model);

    return (uint64_t)((ms + shortest - 1) / shortest) + 1;
}

void handtime_watch(const struct model *model, uint32_t seconds,
                    struct steer_scans *scans)
{
    int64_t ms = (int64_t)seconds * 1000 - HAND_EARLY_MS;

    scans->least = handtime_least(model, ms);
    scans->most = UINT64_MAX;
    if (scans->least == 0)
        scans->least = 1;
}
