#include "study/branches.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/dead_end.h"

/* Situations looked at for one branch; it is a remark, not a verdict. */
static const uint64_t BRANCH_SITUATIONS = 300000;

static enum branch_state look(struct study *study, uint32_t watch,
                              bool free_times)
{
    static const bool until[1] = {true};
    const struct question question = {
        .watches = &watch,
        .n_watches = 1,
        .faults = study->most_faults,
        .free_times = free_times,
        .until = until,
        .most_situations = BRANCH_SITUATIONS,
    };
    enum branch_state state = BRANCH_NOT_KNOWN;
    struct answer answer;

    answer_find(study, &question, &answer);
    if (exploration_watch_level(answer.exploration, 0) != 0)
        state = BRANCH_TAKEN;
    else if (answer_complete(&answer))
        state = BRANCH_NEVER;
    answer_release(&answer);
    return state;
}

const enum branch_state *branches_judge(struct study *study,
                                        const struct rehearsal *rehearsal)
{
    uint32_t n = study->model->n_branches;
    enum branch_state *states = arena_array(study->arena, n + 1,
                                            sizeof *states);

    for (uint32_t i = 0; i < n; i++) {
        uint32_t watch = study->lowered->branch[i];

        states[i] = BRANCH_TAKEN;
        if (rehearsal->branch[i])
            continue;
        states[i] = look(study, watch, true);
        if (states[i] != BRANCH_NEVER)
            states[i] = look(study, watch, false);
    }
    return states;
}
