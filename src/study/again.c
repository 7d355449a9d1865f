#include "study/again.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/edges.h"
#include "engine/sequence.h"
#include "logic/known.h"
#include "study/complete.h"
#include "study/another.h"
#include "study/lean.h"
#include "study/safety.h"
#include "study/ways.h"

/* One requirement being judged. */
struct quest {
    struct study *study;
    const struct requirement *requirement;
    struct requirement_finding *finding;
    struct dead_ends *ends;
    struct answer answer;
    uint32_t watches[2]; /* what is looked for, where it is asked */
    struct ways_again again;
    const bool *can;  /* per situation */
    bool trapped;     /* a judging that leads into the trap was met */
};

static void find(struct quest *quest)
{
    const struct lowered *lowered = quest->study->lowered;
    uint32_t r = quest->finding->requirement;
    struct question question = {.watches = quest->watches, .n_watches = 2};

    ENSURE(quest->requirement->n_triggers == 1);
    quest->watches[0] = lowered->breach[r];
    quest->watches[1] = lowered->trigger[r];
    despite_ask(another_despite(quest->study, quest->ends, r), &question);
    answer_find(quest->study, &question, &quest->answer);
    quest->again.goal = answer_watch(&quest->answer, quest->watches[0]);
    quest->again.asked = answer_watch(&quest->answer, quest->watches[1]);
}

/* Per choice row: is it one of those named behind BY? */
static void name_operators(struct quest *quest)
{
    const struct model *model = quest->study->model;
    const struct requirement *asked = quest->requirement;
    bool *ours;

    if (asked->n_by == 0)
        return;
    ours = arena_array(quest->study->arena, model->n_choices + 1,
                       sizeof *ours);
    for (uint32_t i = 0; i < model->n_choices; i++)
        for (uint32_t k = 0; k < asked->n_by; k++)
            if (model->choices[i].kind == asked->by[k].kind &&
                model->choices[i].of == asked->by[k].of)
                ours[i] = true;
    quest->again.operators = ours;
}

/* ---- the trap that is nearest ---- */

static bool spot_trap(void *context, const struct edge *edge)
{
    struct quest *quest = context;

    if (edge->watch[quest->again.asked] && !quest->can[edge->to])
        quest->trapped = true;
    return !quest->trapped;
}

/* The first level at which a judging leads into the trap, 0: none. */
static uint32_t trap_level(struct quest *quest)
{
    struct exploration *found = quest->answer.exploration;
    uint32_t levels = quest->answer.reach->levels;
    uint64_t at = 0;

    edges_from(found, UINT64_MAX, spot_trap, quest);
    if (quest->trapped)
        return 1;
    for (uint32_t level = 1; level <= levels; level++)
        for (uint64_t n = exploration_level_size(found, level); n > 0; n--) {
            edges_from(found, at++, spot_trap, quest);
            if (quest->trapped)
                return level + 1;
        }
    return 0;
}

static const bool *trap_of(struct quest *quest)
{
    uint64_t n = quest->answer.reach->situations;
    bool *trap = arena_array(quest->answer.arena, n + 1, sizeof *trap);

    for (uint64_t s = 0; s < n; s++)
        trap[s] = !quest->can[s];
    return trap;
}

/* ---- verdicts ---- */

static void stop(struct quest *quest, enum verdict verdict,
                 enum stop_reason reason)
{
    quest->finding->verdict = verdict;
    quest->finding->stop = reason;
}

static const struct sequence *walk_to_trap(struct quest *quest,
                                           uint32_t level)
{
    if (quest->ends->without_sequences)
        return NULL;
    return sequence_into(quest->answer.arena, quest->answer.exploration,
                         quest->again.asked, trap_of(quest), level);
}

static void conclude_broken(struct quest *quest,
                            const struct sequence *sequence)
{
    quest->finding->verdict = VERDICT_BROKEN;
    if (known_leans(quest->answer.slice)) {
        stop(quest, VERDICT_NOT_DECIDED, STOP_LEANS);
        lean_all(quest->study, &quest->answer, &quest->finding->leaning);
    }
    if (quest->ends->without_sequences)
        return;
    if (sequence != NULL)
        quest->finding->sequence =
            complete_sequence(quest->study, &quest->answer, sequence,
                              REPLAY_TRAP, quest->finding->requirement);
    if (quest->finding->sequence == NULL)
        stop(quest, VERDICT_NOT_FINISHED,
             answer_lost(quest->study, &quest->answer));
}

/* There is no trap: what stands in the way of "kept"? */
static void conclude_unbroken(struct quest *quest)
{
    enum stop_reason outside = dead_ends_outside(quest->ends, quest->study,
                                                 &quest->answer);

    enum stop_reason reason = lean_errors(quest->study);

    if (reason == STOP_NONE && answer_dead_end(&quest->answer))
        reason = known_leans(quest->answer.slice) ? STOP_DEAD_END_LEANS
                                                  : STOP_DEAD_END;
    if (reason == STOP_NONE)
        reason = outside;
    if (reason != STOP_NONE)
        stop(quest, lean_verdict(reason), reason);
    else
        quest->finding->verdict = quest->finding->trigger_seen[0]
                                      ? VERDICT_KEPT : VERDICT_NOT_TESTED;
}

/* Found by walking: a trap at that level, none, or not known. */
static void conclude_walked(struct quest *quest, enum ways_quick quick,
                            const struct sequence *astray)
{
    uint32_t level = trap_level(quest);
    const struct sequence *walked;

    if (quick != WAYS_WALK && (quick == WAYS_ALWAYS) != (level == 0))
        study_internal(quest->study,
                       "the engines differ in what is possible again");
    if (level == 0) {
        conclude_unbroken(quest);
        return;
    }
    walked = walk_to_trap(quest, level);
    if (walked != NULL && astray != NULL && !sequence_same(walked, astray))
        study_internal(quest->study,
                       "the engines find different ways into a trap");
    conclude_broken(quest, walked);
}

static void walk_for_trap(struct quest *quest, enum ways_quick quick,
                          const struct sequence *astray)
{
    answer_walk(&quest->answer);
    if (!answer_complete(&quest->answer)) {
        stop(quest, VERDICT_NOT_FINISHED, answer_stop(&quest->answer));
        return;
    }
    switch (ways_again(&quest->answer, &quest->again,
                       quest->study->setting.interrupted, &quest->can)) {
    case WAYS_UNRESOLVED:
        if (quick == WAYS_ALWAYS)
            conclude_unbroken(quest);
        else if (astray != NULL)
            conclude_broken(quest, astray);
        else
            stop(quest, VERDICT_NOT_DECIDED, STOP_SHARED);
        return;
    case WAYS_INTERRUPTED:
        stop(quest, VERDICT_NOT_FINISHED, STOP_SIGNAL);
        return;
    case WAYS_KNOWN:
        break;
    }
    conclude_walked(quest, quick, astray);
}

/* Walks where that is not known without. */
static void weigh(struct quest *quest)
{
    enum engine engine = quest->study->setting.engine;
    const struct sequence *astray = NULL;
    enum ways_quick quick = engine == ENGINE_TILES
                                ? WAYS_WALK
                                : ways_again_quick(&quest->answer,
                                                   &quest->again, &astray);

    if (quick == WAYS_ALWAYS && engine != ENGINE_BOTH)
        conclude_unbroken(quest);
    else if (astray != NULL && engine != ENGINE_BOTH)
        conclude_broken(quest, astray);
    else
        walk_for_trap(quest, quick, astray);
}

static void note_trigger(struct quest *quest, bool rehearsed)
{
    bool *seen = arena_array(quest->study->arena, 1, sizeof *seen);

    *seen = rehearsed ||
            quest->answer.reach->watch_level[quest->again.asked] != 0;
    quest->finding->trigger_seen = seen;
}

void again_judge(struct study *study, const struct rehearsal *rehearsal,
                 struct dead_ends *ends, uint32_t requirement,
                 struct requirement_finding *finding)
{
    struct quest quest = {
        .study = study,
        .finding = finding,
        .ends = ends,
        .requirement = &study->model->requirements[requirement],
    };

    find(&quest);
    name_operators(&quest);
    finding->longest = -1;
    finding->coverage = answer_coverage(&quest.answer);
    finding_parts(study, &quest.answer, finding);
    note_trigger(&quest, rehearsal->trigger[requirement][0]);
    if (answer_dead_end(&quest.answer))
        dead_end_record(ends, study, &quest.answer);
    if (answer_complete(&quest.answer))
        weigh(&quest);
    else
        stop(&quest, VERDICT_NOT_FINISHED, answer_stop(&quest.answer));
    answer_release(&quest.answer);
}
