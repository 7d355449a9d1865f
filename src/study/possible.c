#include "study/possible.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "logic/known.h"
#include "study/complete.h"
#include "study/another.h"
#include "study/lean.h"
#include "study/safety.h"
#include "study/ways.h"

/* More faults with moments of their own at once make too many sets. */
enum { MOST_FAULTS = 12 };

/* One POSSIBLE being judged. */
struct quest {
    struct study *study;
    struct requirement_finding *finding;
    struct dead_ends *ends;
    const struct requirement *requirement;
    uint32_t *first, *next; /* fixed choices: faults and power */
    bool *present;          /* per cause, then per fault: in the set being
                               tried */
    bool *used;             /* per choice row: the slice reads it */
    uint32_t n_present;
    struct despite despite;
    bool decided;           /* broken or stopped */
};

static void fix_choices(struct quest *quest)
{
    const struct model *model = quest->study->model;

    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];

        quest->first[i] = quest->next[i] = FLAT_NONE;
        if (choice->kind == CHOICE_POWER)
            quest->first[i] = quest->next[i] = 0;
        if (choice->kind == CHOICE_FAULT) {
            quest->first[i] = quest->present[choice->of];
            quest->next[i] = 0;
        }
    }
}

static void find(struct quest *quest, struct answer *answer)
{
    struct question question = {
        .watches =
            &quest->study->lowered->breach[quest->finding->requirement],
        .n_watches = 1,
        .fixed_first = quest->first,
        .fixed_next = quest->next,
    };

    despite_ask(&quest->despite, &question);
    answer_find(quest->study, &question, answer);
}

/* Open places were resolved against us: is it impossible, too, where they
 * come out as we like? */
static void note_leaning(struct quest *quest, const struct answer *answer)
{
    struct answer easy = *answer;
    const uint32_t *first;

    if (!known_leans(answer->slice))
        return;
    easy.slice = lean_ours(answer);
    if (easy.slice != NULL && ways_find(&easy, 0, &first) == WAYS_NOT_ALL)
        return;
    quest->finding->verdict = VERDICT_NOT_DECIDED;
    quest->finding->stop = STOP_LEANS;
    lean_all(quest->study, answer, &quest->finding->leaning);
}

/* From this first scan on it cannot be brought about. */
static void conclude_broken(struct quest *quest, const struct answer *answer,
                            const uint32_t *first)
{
    const struct sequence sequence = {
        .length = 1,
        .n_choices = quest->study->model->n_choices,
        .choices = first,
    };

    quest->finding->verdict = VERDICT_BROKEN;
    note_leaning(quest, answer);
    quest->finding->sequence =
        complete_sequence(quest->study, answer, &sequence, REPLAY_ALLOWED,
                          quest->finding->requirement);
    quest->decided = true;
    if (quest->finding->sequence != NULL)
        return;
    quest->finding->verdict = VERDICT_NOT_FINISHED;
    quest->finding->stop = answer_lost(quest->study, answer);
}

static void conclude_stopped(struct quest *quest, enum stop_reason stop)
{
    quest->finding->verdict = lean_verdict(stop);
    quest->finding->stop = stop;
    quest->decided = true;
}

/* The shortest example, shown when everything went well. */
static void take_example(struct quest *quest, struct answer *answer)
{
    const struct sequence *sequence =
        answer_sequence(quest->study, answer, GOAL_WATCH, 0);

    if (sequence != NULL && quest->finding->sequence == NULL)
        quest->finding->sequence =
            complete_sequence(quest->study, answer, sequence,
                              REPLAY_POSSIBLE, quest->finding->requirement);
}

/* By walking; the answer may then no longer be complete, and the result
 * counts for nothing. */
static enum ways_verdict walk_for_ways(struct quest *quest,
                                       struct answer *answer,
                                       enum ways_quick quick,
                                       const uint32_t **first)
{
    enum ways_verdict found;

    answer_walk(answer);
    if (!answer_complete(answer))
        return WAYS_TOO_MANY;
    found = ways_find(answer, 0, first);
    if (quick == WAYS_ALWAYS && found == WAYS_TOO_MANY)
        return WAYS_ALL;
    if (quick != WAYS_WALK && found != WAYS_TOO_MANY &&
        (quick == WAYS_ALWAYS) != (found == WAYS_ALL))
        study_internal(quest->study,
                       "the engines differ in what is possible");
    return found;
}

static void compare(struct quest *quest, const uint32_t *walked,
                    const struct sequence *astray)
{
    if (walked != NULL && astray != NULL &&
        memcmp(walked, astray->choices,
               astray->n_choices * sizeof *walked) != 0)
        study_internal(quest->study, "the engines find different first scans "
                                     "that lead nowhere");
}

/* Walks where that is not known without. */
static enum ways_verdict look_for_ways(struct quest *quest,
                                       struct answer *answer,
                                       const uint32_t **first)
{
    enum engine engine = quest->study->setting.engine;
    const struct sequence *astray = NULL;
    enum ways_quick quick = engine == ENGINE_TILES
                                ? WAYS_WALK
                                : ways_find_quick(answer, 0, &astray);
    enum ways_verdict found;

    if (quick == WAYS_ALWAYS && engine != ENGINE_BOTH)
        return WAYS_ALL;
    if (astray != NULL && engine != ENGINE_BOTH &&
        !known_leans(answer->slice)) {
        *first = astray->choices;
        return WAYS_NOT_ALL;
    }
    found = walk_for_ways(quest, answer, quick, first);
    compare(quest, found == WAYS_NOT_ALL ? *first : NULL, astray);
    if (found == WAYS_TOO_MANY && astray != NULL &&
        answer_complete(answer)) {
        *first = astray->choices;
        return WAYS_NOT_ALL;
    }
    return found;
}

static void weigh(struct quest *quest, struct answer *answer)
{
    const uint32_t *first = NULL;
    bool dead_end =
        answer_dead_end(answer);
    enum ways_verdict found;

    if (!answer_complete(answer)) {
        conclude_stopped(quest, answer_stop(answer));
        return;
    }
    found = look_for_ways(quest, answer, &first);
    if (!answer_complete(answer)) {
        conclude_stopped(quest, answer_stop(answer));
        return;
    }
    switch (found) {
    case WAYS_NOT_ALL:
        conclude_broken(quest, answer, first);
        return;
    case WAYS_TOO_MANY:
        quest->finding->verdict = VERDICT_NOT_DECIDED;
        quest->finding->stop = STOP_SHARED;
        quest->decided = true;
        return;
    case WAYS_ALL:
        break;
    }
    if (!quest->despite.exactly)
        take_example(quest, answer);
    if (dead_end) {
        dead_end_record(quest->ends, quest->study, answer);
        conclude_stopped(quest, known_leans(answer->slice)
                                    ? STOP_DEAD_END_LEANS
                                    : STOP_DEAD_END);
    }
}

/* One set of faults. */
static void try_set(struct quest *quest)
{
    struct answer answer;

    fix_choices(quest);
    find(quest, &answer);
    quest->finding->coverage = answer_coverage(&answer);
    finding_parts(quest->study, &answer, quest->finding);
    memcpy(quest->used, answer.slice->used,
           answer.slice->n_choices * sizeof *quest->used);
    weigh(quest, &answer);
    answer_release(&answer);
}

static bool has_moments(const struct quest *quest, uint32_t number)
{
    const struct fault *fault = &quest->study->model->faults[number];
    bool enabled = false;

    for (uint32_t i = 0; i < fault->n_causes; i++)
        enabled = enabled || quest->present[fault->causes[i]];
    return enabled && fault->own && quest->used[fault->choice];
}

/* Every set of faults, numbered from `from` on, whose moments are their own;
 * the causes are those of the set being tried. */
static void try_faults(struct quest *quest, uint32_t from, uint32_t depth)
{
    const struct model *model = quest->study->model;

    if (depth > MOST_FAULTS)
        conclude_stopped(quest, STOP_SITUATIONS);
    else
        try_set(quest);
    for (uint32_t i = from; i < model->n_faults && !quest->decided; i++) {
        if (!has_moments(quest, i))
            continue;
        quest->present[model->n_causes + i] = true;
        try_faults(quest, i + 1, depth + 1);
        quest->present[model->n_causes + i] = false;
    }
}

/* Are all of a set present that never are together? */
static bool is_forbidden(const struct quest *quest)
{
    for (uint32_t i = 0; i < quest->despite.n_forbidden; i++) {
        const struct cause_set *set = &quest->despite.forbidden[i];
        uint32_t n = 0;

        while (n < set->n && quest->present[set->causes[n]])
            n++;
        if (n == set->n)
            return true;
    }
    return false;
}

/* The set of all causes that are allowed: with any fewer it can be brought
 * about. */
static void try_all(struct quest *quest)
{
    const struct model *model = quest->study->model;

    for (uint32_t i = 0; i < model->n_causes; i++)
        quest->present[i] = quest->despite.allowed[i];
    try_faults(quest, 0, 0);
}

/* Every set of at most `left` further causes numbered from `from` on, the
 * empty one first.  Depth is bounded by the number of causes allowed. */
static void try_causes(struct quest *quest, uint32_t from, uint32_t left)
{
    const struct model *model = quest->study->model;

    try_faults(quest, 0, 0);
    for (uint32_t i = from; left > 0 && i < model->n_causes; i++) {
        if (quest->decided)
            return;
        if ((quest->despite.allowed && !quest->despite.allowed[i]) ||
            !quest->used[model->causes[i].choice])
            continue;
        quest->present[i] = true;
        if (!is_forbidden(quest))
            try_causes(quest, i + 1, left - 1);
        quest->present[i] = false;
    }
}

/* All sets went well; what else stands in the way? */
static void conclude_kept(struct quest *quest)
{
    enum stop_reason outside;
    struct answer answer;

    memset(quest->present, 0, quest->n_present * sizeof *quest->present);
    fix_choices(quest);
    find(quest, &answer);
    outside = dead_ends_outside(quest->ends, quest->study, &answer);
    answer_release(&answer);
    if (lean_errors(quest->study) != STOP_NONE)
        conclude_stopped(quest, lean_errors(quest->study));
    else if (outside != STOP_NONE)
        conclude_stopped(quest, outside);
    else
        quest->finding->verdict = VERDICT_KEPT;
}

void possible_judge(struct study *study, struct dead_ends *ends,
                    uint32_t requirement,
                    struct requirement_finding *finding)
{
    const struct model *model = study->model;
    struct quest quest = {
        .study = study,
        .finding = finding,
        .ends = ends,
        .requirement = &model->requirements[requirement],
    };

    quest.first = arena_array(study->arena, model->n_choices + 1,
                              sizeof *quest.first);
    quest.next = arena_array(study->arena, model->n_choices + 1,
                             sizeof *quest.next);
    quest.n_present = model->n_causes + model->n_faults;
    quest.present = arena_array(study->arena, quest.n_present + 1,
                                sizeof *quest.present);
    quest.used = arena_array(study->arena, model->n_choices + 1,
                             sizeof *quest.used);
    finding->longest = -1;
    quest.despite = *another_despite(study, ends, requirement);
    if (quest.despite.exactly)
        try_all(&quest);
    else
        try_causes(&quest, 0, quest.despite.faults);
    if (!quest.decided)
        conclude_kept(&quest);
}
