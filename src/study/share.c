#include "study/share.h"

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/despite.h"
#include "study/memo.h"

/* Per requirement the number of the first with the same situations, of one
 * way to ask. */
struct grouping {
    bool free_times;
    uint32_t faults; /* that a study puts in instead; OWN_FAULTS: each
                        requirement those that it names */
    const uint32_t *group;
};

#define OWN_FAULTS UINT32_MAX

struct share {
    struct arena *arena;
    struct grouping *at;
    uint32_t n, cap;
};

struct share *share_new(struct arena *arena)
{
    struct share *share = ARENA_NEW(arena, struct share);

    share->arena = arena;
    return share;
}

static bool is_asked(const struct study *study, uint32_t r)
{
    return (study->setting.only == NULL || study->setting.only[r]) &&
           study->model->requirements[r].form < FORM_POSSIBLE;
}

/* The breach of one requirement, nothing dropped. */
static struct memo_core core_of(struct study *study, uint32_t r,
                                bool free_times)
{
    struct question question = {
        .watches = &study->lowered->breach[r],
        .n_watches = 1,
        .free_times = free_times,
    };
    struct answer answer;
    struct memo_core core;

    despite_ask(despite_of(study, r), &question);
    answer_slice(study, &question, &answer);
    core = memo_core(study, &answer);
    answer_release(&answer);
    return core;
}

static const uint32_t *groups(struct study *study, bool free_times)
{
    uint32_t n = study->model->n_requirements;
    uint32_t *group = arena_array(study->arena, (size_t)n + 1, sizeof *group);
    struct memo_core *core = arena_array(study->arena, (size_t)n + 1,
                                         sizeof *core);

    for (uint32_t r = 0; r < n; r++) {
        group[r] = r;
        if (!is_asked(study, r))
            continue;
        core[r] = core_of(study, r, free_times);
        for (uint32_t other = 0; other < r && group[r] == r; other++)
            if (is_asked(study, other) && memo_same(&core[r], &core[other]))
                group[r] = group[other];
    }
    return group;
}

/* Made at the first question asked in this way. */
static const uint32_t *group_of(struct study *study, bool free_times)
{
    struct share *share = study->share;
    uint32_t faults = study->instead ? study->instead->faults : OWN_FAULTS;

    for (uint32_t i = 0; i < share->n; i++)
        if (share->at[i].free_times == free_times &&
            share->at[i].faults == faults)
            return share->at[i].group;
    if (share->n == share->cap) {
        struct grouping *larger = arena_array(
            share->arena, share->cap + 8, sizeof *larger);

        for (uint32_t i = 0; i < share->n; i++)
            larger[i] = share->at[i];
        share->at = larger;
        share->cap += 8;
    }
    share->at[share->n] = (struct grouping){free_times, faults,
                                            groups(study, free_times)};
    return share->at[share->n++].group;
}

/* The requirement that a question is about, or MODEL_NONE. */
static uint32_t subject(const struct study *study,
                        const struct question *question)
{
    const struct flat_watch *watch;

    if (question->n_watches == 0 || question->fixed_first != NULL)
        return MODEL_NONE;
    watch = &study->lowered->flat->watches[question->watches[0]];
    return watch->kind == WATCH_BREACH && is_asked(study, watch->index)
               ? watch->index : MODEL_NONE;
}

static uint32_t count(const struct study *study, const uint32_t *group,
                      uint32_t subject)
{
    uint32_t n = 0;

    for (uint32_t r = 0; r < study->model->n_requirements; r++)
        if (is_asked(study, r) && group[r] == group[subject])
            n += 1 + study->model->requirements[r].n_triggers;
    return n;
}

/* Every breach is wanted, so that no requirement is left unfinished that
 * could be broken. */
static void gather(const struct study *study, const uint32_t *group,
                   uint32_t subject, struct question *wider)
{
    uint32_t *watches = (uint32_t *)wider->watches;
    bool *until = (bool *)wider->until;

    for (uint32_t r = 0; r < study->model->n_requirements; r++) {
        if (!is_asked(study, r) || group[r] != group[subject])
            continue;
        until[wider->n_watches] = true;
        watches[wider->n_watches++] = study->lowered->breach[r];
        for (uint32_t t = 0; t < study->model->requirements[r].n_triggers;
             t++)
            watches[wider->n_watches++] = study->lowered->trigger[r] + t;
    }
}

bool share_widen(struct study *study, const struct question *question,
                 struct answer *answer, struct question *wider)
{
    uint32_t r = subject(study, question), n;
    const uint32_t *group;

    if (r == MODEL_NONE || question->n_forbidden > 0 ||
        question->most_effort != 0 || question->apart)
        return false;
    group = group_of(study, question->free_times);
    n = count(study, group, r);
    *wider = *question;
    wider->n_watches = 0;
    wider->watches = arena_array(answer->arena, n, sizeof *wider->watches);
    wider->until = arena_array(answer->arena, n, sizeof *wider->until);
    gather(study, group, r, wider);
    if (question->until == NULL)
        wider->until = NULL;
    return wider->n_watches > question->n_watches;
}
