#include "study/answer.h"

#include "base/arena.h"
#include "engine/counted.h"
#include "study/memo.h"
#include "study/share.h"

/* Where no run-time error can occur, every value fits its variable. */
static void distrust(struct study *study, const struct answer *answer)
{
    if (study->errors_judged && !study->errors_open &&
        study->ends.n == 0 && answer->reach->reduced)
        study_internal(study, "a value left the range of its variable though "
                              "no run-time error was found");
}

/* What needed more than the effort ends as if it were interrupted. */
static void note_spent(struct study *study, struct answer *answer)
{
    const struct study_setting *own = &study->setting;

    answer->spent = answer->reach->end == EXPLORE_INTERRUPTED &&
                    !(own->interrupted != NULL && own->interrupted());
    if (answer->spent && study->effort > 1)
        study->effort /= 2;
}

static void ask_engines(struct study *study, struct answer *answer)
{
    bool limited = answer->setting.most_effort == 0 && study->effort != 0;
    struct engines_found found;

    if (limited)
        answer->setting.most_effort = study->effort;
    found = engines_find(study->arena, answer->slice, &answer->setting,
                         study->setting.engine);
    answer->reach = found.reach;
    study->asked.sets += found.by == ENGINE_SETS;
    study->asked.tiles += found.by == ENGINE_TILES;
    if (limited)
        note_spent(study, answer);
    if (found.differ != NULL)
        study_internal(study, found.differ);
}

/* Asks an engine, and keeps what it found. */
static void run(struct study *study, const struct memo_core *core,
                struct answer *answer, bool walk)
{
    if (walk) {
        answer_walk(answer);
        answer->reach = exploration_reach(study->arena, answer->exploration);
    } else {
        ask_engines(study, answer);
    }
    if (answer->reach->end == EXPLORE_INTERRUPTED)
        return;
    memo_keep(study, core, answer);
    answer->reach = memo_find(study, core, answer);
}

/* Asks for all that share these situations. */
static void run_wider(struct study *study, const struct question *question,
                      const struct memo_core *core, struct answer *answer)
{
    struct question wider;
    struct answer all;
    struct memo_core other;

    if (!share_widen(study, question, answer, &wider))
        return;
    answer_slice(study, &wider, &all);
    other = memo_core(study, &all);
    if (memo_same(core, &other))
        run(study, core, &all, false);
    answer_release(&all);
}

void answer_find(struct study *study, const struct question *question,
                 struct answer *answer)
{
    answer_slice(study, question, answer);
    answer_ask(study, question, answer);
}

void answer_ask(struct study *study, const struct question *question,
                struct answer *answer)
{
    struct memo_core core;

    if (study->memo == NULL) {
        study->memo = memo_new(study->arena);
        study->share = share_new(study->arena);
    }
    core = memo_core(study, answer);
    if (!study->setting.alone)
        answer->reach = memo_find(study, &core, answer);
    if (answer->reach == NULL && !question->walk && !study->setting.alone) {
        run_wider(study, question, &core, answer);
        answer->reach = memo_find(study, &core, answer);
    }
    if (answer->reach == NULL)
        run(study, &core, answer, question->walk);
    distrust(study, answer);
}

void answer_walk(struct answer *answer)
{
    if (answer->exploration != NULL)
        return;
    answer->exploration = explore(answer->slice, &answer->setting);
    answer->spent |= exploration_spent(answer->exploration);
    if (exploration_end(answer->exploration) > EXPLORE_SEEN)
        answer->reach = exploration_reach(answer->arena,
                                          answer->exploration);
}

static const struct sequence *by_walking(struct answer *answer,
                                         enum sequence_goal goal,
                                         uint32_t index)
{
    answer_walk(answer);
    return sequence_find(answer->arena, answer->exploration, goal, index);
}

const struct sequence *answer_sequence(struct study *study,
                                       struct answer *answer,
                                       enum sequence_goal goal,
                                       uint32_t index)
{
    const struct engines_wanted wanted = {
        .arena = answer->arena, .slice = answer->slice,
        .setting = &answer->setting, .goal = goal, .index = index};
    const struct sequence *found = NULL;

    if (answer->exploration == NULL)
        found = engines_sequence(&wanted, study->setting.engine,
                                 &answer->exploration);
    if (found == NULL)
        return by_walking(answer, goal, index);
    if (study->setting.engine == ENGINE_BOTH &&
        !sequence_same(found, by_walking(answer, goal, index)))
        study_internal(study, "the engines find different sequences");
    return found;
}

uint32_t answer_level(const struct answer *answer, uint32_t watch)
{
    return answer->reach->watch_level[answer_watch(answer, watch)];
}

bool answer_complete(const struct answer *answer)
{
    return answer->reach->end == EXPLORE_COMPLETE;
}

bool answer_dead_end(const struct answer *answer)
{
    return answer->reach->dead_end != FLAT_NONE;
}
