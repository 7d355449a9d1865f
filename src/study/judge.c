#include "study/judge.h"

#include "check/model.h"
#include "study/again.h"
#include "study/possible.h"
#include "study/safety.h"

bool judge_looks_for_a_way(const struct study *study, uint32_t requirement)
{
    enum form form = study->model->requirements[requirement].form;

    return form == FORM_POSSIBLE || form == FORM_POSSIBLE_AGAIN;
}

void judge_requirement(struct study *study, const struct rehearsal *rehearsal,
                       struct dead_ends *ends, uint32_t requirement,
                       struct requirement_finding *finding)
{
    finding->requirement = requirement;
    switch (study->model->requirements[requirement].form) {
    case FORM_POSSIBLE:
        possible_judge(study, ends, requirement, finding);
        return;
    case FORM_POSSIBLE_AGAIN:
        again_judge(study, rehearsal, ends, requirement, finding);
        return;
    default:
        safety_judge(study, rehearsal, ends, requirement, finding);
        return;
    }
}
