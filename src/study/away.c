#include "study/away.h"

#include "check/model.h"

uint64_t away_walked(const struct model *model)
{
    return model->name != NULL ? 1000000 : 20000;
}

uint64_t away_from(const struct study *study, const struct answer *answer,
                   uint32_t watch)
{
    return distance_least(answer->slice, answer_watch(answer, watch),
                          away_walked(study->model),
                          study->setting.interrupted);
}
