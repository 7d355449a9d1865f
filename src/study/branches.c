#include "study/branches.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/dead_end.h"

/* No branch may use up what all have. */
enum { SHARE = 4 };

/* What may still be spent. */
struct purse {
    uint64_t situations, share;
};

static uint64_t spent(const struct purse *purse, const struct answer *answer)
{
    uint64_t n = exploration_situations(answer->exploration);

    return n < purse->situations ? n : purse->situations;
}

static enum branch_state look(struct study *study, struct purse *purse,
                              uint32_t watch, bool free_times)
{
    static const bool until[1] = {true};
    const struct question question = {
        .watches = &watch,
        .n_watches = 1,
        .faults = study->most_faults,
        .free_times = free_times,
        .until = until,
        .most_situations = purse->situations < purse->share
                               ? purse->situations : purse->share,
    };
    enum branch_state state = BRANCH_NOT_KNOWN;
    struct answer answer;

    if (purse->situations == 0)
        return BRANCH_NOT_KNOWN;
    answer_find(study, &question, &answer);
    purse->situations -= spent(purse, &answer);
    if (exploration_watch_level(answer.exploration, 0) != 0)
        state = BRANCH_TAKEN;
    else if (answer_complete(&answer))
        state = BRANCH_NEVER;
    answer_release(&answer);
    return state;
}

const enum branch_state *branches_judge(struct study *study,
                                        const struct rehearsal *rehearsal,
                                        uint64_t most_situations)
{
    uint32_t n = study->model->n_branches;
    struct purse purse = {most_situations, most_situations / SHARE + 1};
    enum branch_state *states = arena_array(study->arena, n + 1,
                                            sizeof *states);

    for (uint32_t i = 0; i < n; i++) {
        uint32_t watch = study->lowered->branch[i];

        states[i] = BRANCH_TAKEN;
        if (rehearsal->branch[i])
            continue;
        states[i] = look(study, &purse, watch, true);
        if (states[i] != BRANCH_NEVER)
            states[i] = look(study, &purse, watch, false);
    }
    return states;
}
