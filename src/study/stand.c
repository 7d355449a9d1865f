#include "study/stand.h"

#include "check/model.h"

static const bool until[1] = {true};

static struct question question_of(const struct study *study,
                                   uint32_t requirement, bool free_times)
{
    const struct requirement *asked =
        &study->model->requirements[requirement];

    return (struct question){
        .watches = &study->lowered->breach[requirement],
        .n_watches = 1,
        .faults = asked->despite,
        .allowed = asked->despite_of,
        .free_times = free_times,
        .until = until,
    };
}

void stand_slice(struct study *study, uint32_t requirement,
                 struct answer *answer)
{
    const struct question question = question_of(study, requirement, false);

    answer_slice(study, &question, answer);
}

static enum stand weigh(const struct answer *answer)
{
    if (answer->reach->watch_level[0] != 0)
        return STAND_BROKEN;
    return answer_complete(answer) ? STAND_KEPT : STAND_OPEN;
}

enum stand stand_find(struct study *study, uint32_t requirement,
                      struct answer *answer)
{
    struct question question = question_of(study, requirement, true);
    bool times;

    stand_slice(study, requirement, answer);
    times = answer->slice->has_times && !study->setting.timed;
    answer_release(answer);
    if (times) {
        answer_find(study, &question, answer);
        if (weigh(answer) == STAND_KEPT &&
            !answer_dead_end(answer))
            return STAND_KEPT;
        answer_release(answer);
    }
    question.free_times = false;
    answer_find(study, &question, answer);
    return weigh(answer);
}
