#include "study/stand.h"

#include "check/model.h"
#include "study/another.h"
#include "study/away.h"

static const bool until[1] = {true};

static struct question question_of(struct study *study,
                                   uint32_t requirement, bool free_times)
{
    const struct despite *despite = another_despite(study, NULL, requirement);

    return (struct question){
        .watches = &study->lowered->breach[requirement],
        .n_watches = 1,
        .faults = despite->faults,
        .allowed = despite->allowed,
        .forbidden = despite->forbidden,
        .n_forbidden = despite->n_forbidden,
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

/* Asks, unless a breach is too far away to be looked for. */
static enum stand ask(struct study *study, const struct question *question,
                      struct answer *answer)
{
    uint64_t away;

    answer_slice(study, question, answer);
    away = away_from(study, answer, question->watches[0]);
    if (away != 0 && away != DISTANCE_NEVER)
        return STAND_OPEN;
    answer_ask(study, question, answer);
    return weigh(answer);
}

/* Where it is not known what is noticed, a breach may be of a pair of faults
 * that does not count. */
static enum stand sure(struct study *study, uint32_t requirement,
                       enum stand stand)
{
    const struct despite *despite = another_despite(study, NULL, requirement);

    return stand == STAND_BROKEN && despite->unknown != STOP_NONE
               ? STAND_OPEN : stand;
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
        if (ask(study, &question, answer) == STAND_KEPT &&
            !answer_dead_end(answer))
            return STAND_KEPT;
        answer_release(answer);
    }
    question.free_times = false;
    return sure(study, requirement, ask(study, &question, answer));
}
