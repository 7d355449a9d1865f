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

/* How a branch is looked for. */
struct manner {
    uint32_t faults;
    bool free_times;
};

static uint64_t spent(const struct purse *purse, const struct answer *answer)
{
    uint64_t n = answer->reach->situations;

    return n < purse->situations ? n : purse->situations;
}

static bool is_interrupted(const struct study *study)
{
    return study->setting.interrupted && study->setting.interrupted();
}

static enum branch_state look(struct study *study, struct purse *purse,
                              uint32_t watch, const struct manner *manner)
{
    static const bool until[1] = {true};
    const struct question question = {
        .watches = &watch,
        .n_watches = 1,
        .faults = manner->faults,
        .free_times = manner->free_times,
        .until = until,
        .most_situations = purse->situations < purse->share
                               ? purse->situations : purse->share,
    };
    enum branch_state state = BRANCH_NOT_KNOWN;
    struct answer answer;

    if (purse->situations == 0 || is_interrupted(study))
        return BRANCH_NOT_KNOWN;
    answer_find(study, &question, &answer);
    purse->situations -= spent(purse, &answer);
    if (answer.reach->watch_level[0] != 0)
        state = BRANCH_TAKEN;
    else if (answer_complete(&answer))
        state = BRANCH_NEVER;
    answer_release(&answer);
    return state;
}

/* The likely thing first: it is taken without any fault.  Then a superset,
 * to show that nothing takes it; then all that can happen. */
static enum branch_state look_for(struct study *study, struct purse *purse,
                                  uint32_t watch)
{
    const struct manner plain = {0, false};
    const struct manner wide = {study->most_faults, true};
    const struct manner whole = {study->most_faults, false};
    enum branch_state state = look(study, purse, watch, &plain);

    if (state == BRANCH_TAKEN)
        return state;
    state = look(study, purse, watch, &wide);
    return state == BRANCH_NEVER ? state
                                 : look(study, purse, watch, &whole);
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
        states[i] = look_for(study, &purse, watch);
    }
    return states;
}
