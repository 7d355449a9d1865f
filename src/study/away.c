#include "study/away.h"

uint64_t away_from(const struct answer *answer, uint32_t watch)
{
    return distance_least(answer->slice, answer_watch(answer, watch),
                          AWAY_SCANS);
}
