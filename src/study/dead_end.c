#include "study/dead_end.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "logic/known.h"
#include "study/complete.h"

void dead_ends_release(struct dead_ends *ends)
{
    vec_release(&ends->found);
    vec_release(&ends->asked);
    vec_release(&ends->outcome);
}

struct coverage answer_coverage(const struct answer *answer)
{
    return (struct coverage){
        .situations = answer->reach->situations,
        .levels = answer->reach->levels,
        .without_times = answer->request.free_times,
        .counters_cut = answer->slice->n_cut,
        .complete = answer_complete(answer),
    };
}

enum stop_reason answer_stop(const struct answer *answer)
{
    switch (answer->reach->end) {
    case EXPLORE_SITUATIONS: return STOP_SITUATIONS;
    case EXPLORE_MEMORY: return STOP_MEMORY;
    case EXPLORE_INTERRUPTED:
        return answer->spent ? STOP_EFFORT : STOP_SIGNAL;
    case EXPLORE_COMPLETE:
    case EXPLORE_SEEN: break;
    }
    return STOP_NONE;
}

/* What is left are the assumptions outside: no play of them fits.  Where there
 * are none, in a control text alone, the way was too far to be walked. */
enum stop_reason answer_lost(const struct study *study,
                             const struct answer *answer)
{
    if (answer_stop(answer) != STOP_NONE)
        return answer_stop(answer);
    if (study->setting.interrupted != NULL && study->setting.interrupted())
        return STOP_SIGNAL;
    return study->effort != 0 ? STOP_EFFORT : STOP_DEAD_END;
}

/* The assumptions that a slice takes in, per assumption of the model. */
static bool *taking_part(struct study *study, const struct slice *slice)
{
    bool *part = arena_array(study->arena, study->model->n_assumptions + 1,
                             sizeof *part);

    for (uint32_t i = 0; i < slice->n_assumptions; i++)
        part[slice->assumptions[i].number] = true;
    return part;
}

static int known(const struct dead_ends *ends, const bool *part, size_t n)
{
    for (size_t i = 0; i < ends->found.n; i++)
        if (memcmp(ends->found.at[i].assumption, part, n) == 0)
            return (int)i;
    return -1;
}

void dead_end_record(struct dead_ends *ends, struct study *study,
                     struct answer *answer)
{
    struct dead_end_finding finding = {
        .assumption = taking_part(study, answer->slice),
        .leans = known_leans(answer->slice),
    };
    const struct sequence *sequence;

    if (known(ends, finding.assumption, study->model->n_assumptions) >= 0)
        return;
    if (ends->without_sequences) {
        vec_push(&ends->found, finding);
        return;
    }
    sequence = answer_sequence(study, answer, GOAL_DEAD_END, 0);
    if (sequence != NULL)
        finding.sequence = complete_sequence(study, answer, sequence,
                                             REPLAY_DEAD_END, 0);
    vec_push(&ends->found, finding);
}

/* Asks one group in its own slice: -1, -2 or the index in found. */
static int ask_group(struct dead_ends *ends, struct study *study,
                     const uint32_t *members, uint32_t n)
{
    struct question question = {
        .with_assumptions = members,
        .n_with_assumptions = n,
        .faults = study->most_faults,
        .free_times = true,
    };
    struct answer answer;
    int outcome = -2;

    answer_find(study, &question, &answer);
    if (answer_dead_end(&answer)) {
        answer_release(&answer);
        question.free_times = false;
        answer_find(study, &question, &answer);
    }
    if (answer_dead_end(&answer)) {
        dead_end_record(ends, study, &answer);
        outcome = (int)ends->found.n - 1;
    } else if (answer_complete(&answer)) {
        outcome = -1;
    }
    answer_release(&answer);
    return outcome;
}

/* The outcome for a group, asked at most once. */
static int group_outcome(struct dead_ends *ends, struct study *study,
                         const uint32_t *members, uint32_t n)
{
    size_t count = study->model->n_assumptions;
    bool *part = arena_array(study->arena, count + 1, sizeof *part);
    int outcome;

    for (uint32_t i = 0; i < n; i++)
        part[members[i]] = true;
    for (size_t i = 0; i < ends->asked.n; i++)
        if (memcmp(ends->asked.at[i], part, count) == 0)
            return ends->outcome.at[i];
    outcome = ask_group(ends, study, members, n);
    vec_push(&ends->asked, part);
    vec_push(&ends->outcome, outcome);
    return outcome;
}

enum stop_reason dead_ends_outside(struct dead_ends *ends,
                                   struct study *study,
                                   const struct answer *answer)
{
    const struct flat *flat = study->lowered->flat;
    uint32_t n = flat->n_assumptions;
    uint32_t *group = arena_array(answer->arena, n + 1, sizeof *group);
    uint32_t *members = arena_array(answer->arena, n + 1, sizeof *members);
    uint32_t groups = slice_outside(study->lowered->builder, flat,
                                    answer->slice, &answer->request, group);
    enum stop_reason stop = STOP_NONE;

    for (uint32_t g = 0; g < groups; g++) {
        uint32_t count = 0;
        int outcome;

        for (uint32_t i = 0; i < n; i++)
            if (group[i] == g)
                members[count++] = i;
        outcome = group_outcome(ends, study, members, count);
        if (outcome >= 0)
            return ends->found.at[outcome].leans ? STOP_DEAD_END_LEANS
                                                 : STOP_DEAD_END;
        if (outcome == -2)
            stop = STOP_SITUATIONS;
    }
    return stop;
}
