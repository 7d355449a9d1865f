#include "study/atwill.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "source/diag.h"
#include "study/away.h"
#include "study/judge.h"
#include "study/stand.h"

void at_will_release(struct at_will *at_will)
{
    for (int way = 0; way < 2; way++) {
        lowered_free(at_will->lowered[way]);
        vec_release(&at_will->ends[way]);
    }
}

/* Can it occur, as far as is known without a walk, and near enough? */
static bool may_occur(struct study *study, uint32_t watch)
{
    const struct question question = {
        .watches = &watch,
        .n_watches = 1,
        .faults = study->most_faults,
    };
    struct answer answer;
    uint64_t away;

    answer_slice(study, &question, &answer);
    away = away_from(study, &answer, watch);
    answer_release(&answer);
    return away == 0;
}

/* What is left are errors of review texts.  With actuators at will they may
 * be reachable even though they are not in the whole: a path ends there. */
static void note_ends(struct at_will *at_will, struct study *study,
                      enum lower_way way)
{
    for (uint32_t i = 0; i < study->model->n_errors; i++) {
        uint32_t watch = study->lowered->error[i];

        if (watch != FLAT_NONE && may_occur(study, watch))
            vec_push(&at_will->ends[way], watch);
    }
}

/* NULL when a timer of the review has no largest time without the programs;
 * that is no mistake of the user's. */
static struct lowered *lowered_as(struct at_will *at_will,
                                  struct study *study, enum lower_way way)
{
    struct diags *diags;

    struct study without = *study;

    if (at_will->tried[way])
        return at_will->lowered[way];
    at_will->tried[way] = true;
    diags = diags_new(study->arena);
    at_will->lowered[way] = lower_free(study->arena, study->model, way,
                                       study->lowered, diags);
    diags_free(diags);
    if (at_will->lowered[way] == NULL)
        return NULL;
    without.lowered = at_will->lowered[way];
    memset(&without.ends, 0, sizeof without.ends);
    note_ends(at_will, &without, way);
    return at_will->lowered[way];
}

static bool reads_rough(const struct answer *answer,
                        const struct lowered *lowered)
{
    for (uint32_t i = 0; i < lowered->flat->n_choices; i++)
        if (answer->slice->used[i] && lowered->rough[i])
            return true;
    return false;
}

static enum stand stands(struct at_will *at_will, struct study *study,
                         enum lower_way way, uint32_t requirement)
{
    struct study without = *study;
    struct answer answer;
    enum stand stand;

    without.lowered = lowered_as(at_will, study, way);
    if (without.lowered == NULL)
        return STAND_OPEN;
    memset(&without.ends, 0, sizeof without.ends);
    without.errors_judged = false;
    for (size_t i = 0; i < at_will->ends[way].n; i++)
        vec_push(&without.ends, at_will->ends[way].at[i]);
    stand = stand_find(&without, requirement, &answer);
    if (stand == STAND_KEPT && reads_rough(&answer, without.lowered))
        stand = STAND_OPEN;
    answer_release(&answer);
    vec_release(&without.ends);
    return stand;
}

void at_will_judge(struct at_will *at_will, struct study *study,
                   struct requirement_finding *finding)
{
    uint32_t requirement = finding->requirement;

    if (finding->verdict != VERDICT_KEPT ||
        judge_looks_for_a_way(study, requirement))
        return;
    switch (stands(at_will, study, LOWER_AT_WILL, requirement)) {
    case STAND_KEPT:
        finding->part = PART_NONE;
        finding->verdict = VERDICT_NOT_TESTED;
        return;
    case STAND_OPEN:
        finding->part = PART_NOT_KNOWN;
        return;
    case STAND_BROKEN:
        break;
    }
    switch (stands(at_will, study, LOWER_COMMANDED_FREE, requirement)) {
    case STAND_KEPT: finding->part = PART_WIRING; return;
    case STAND_OPEN: finding->part = PART_NOT_KNOWN_WIRING; return;
    case STAND_BROKEN: finding->part = PART_LOGIC; return;
    }
}
