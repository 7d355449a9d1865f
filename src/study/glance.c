#include "study/glance.h"

#include "base/arena.h"
#include "check/model.h"
#include "logic/known.h"
#include "study/answer.h"
#include "study/despite.h"
#include "study/judge.h"

/* Its breach and its triggers: what judging it asks. */
static void question_of(struct study *study, uint32_t r,
                        struct question *question)
{
    const struct requirement *requirement = &study->model->requirements[r];
    uint32_t n = 1 + requirement->n_triggers;
    uint32_t *watches = arena_array(study->arena, n, sizeof *watches);
    bool *until = arena_array(study->arena, n, sizeof *until);

    watches[0] = study->lowered->breach[r];
    until[0] = true;
    for (uint32_t t = 1; t < n; t++)
        watches[t] = study->lowered->trigger[r] + t - 1;
    *question = (struct question){
        .watches = watches, .n_watches = n, .until = until};
    despite_ask(despite_of(study, r), question);
}

/* Seen in it?  *sure: without leaning on an open place. */
static bool seen(struct study *study, struct question *question,
                 bool free_times, bool *sure)
{
    struct answer answer;
    bool found;

    question->free_times = free_times;
    answer_find(study, question, &answer);
    found = answer_level(&answer, question->watches[0]) != 0;
    *sure = !known_leans(answer.slice);
    answer_release(&answer);
    return found;
}

bool glance_broken(struct study *study, uint32_t requirement)
{
    const struct requirement *asked =
        &study->model->requirements[requirement];
    struct question question;
    bool sure;

    if (judge_looks_for_a_way(study, requirement) || asked->another ||
        asked->noticed != NULL)
        return false;
    question_of(study, requirement, &question);
    if (study->model->n_movements > 0 && !study->setting.timed &&
        !seen(study, &question, true, &sure))
        return false;
    return seen(study, &question, false, &sure) && sure;
}
