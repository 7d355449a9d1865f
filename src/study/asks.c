#include "study/asks.h"

#include "base/arena.h"
#include "check/model.h"
#include "source/diag.h"
#include "study/answer.h"

/* Of the engine for one question: a second or two. */
enum { MOST_EFFORT = 5000000 };

struct asking {
    struct twins pair;
    bool ready; /* they can be put side by side */
};

struct asking *asking_open(struct arena *arena, const struct version *was,
                           const struct version *is,
                           const struct study_setting *setting)
{
    static const struct renames none = {NULL, 0};
    struct asking *asking = ARENA_NEW(arena, struct asking);
    struct diags *diags = diags_new(arena);
    const struct twins_asked asked = {.was = *was, .is = *is,
                                      .renames = &none, .setting = setting,
                                      .way = TWINS_AT_WILL};

    asking->ready = twins_open(&asking->pair, arena, &asked, diags) == NULL;
    diags_free(diags);
    return asking;
}

void asking_close(struct asking *asking)
{
    twins_close(&asking->pair);
}

/* Faults count alike, none is excepted for a while, and it is no search for a
 * way. */
static bool can_be_compared(const struct model *was, const struct model *is,
                            const struct requirement *old,
                            const struct requirement *new)
{
    const struct requirement *both[2] = {old, new};

    for (int i = 0; i < 2; i++)
        if (both[i]->form == FORM_POSSIBLE ||
            both[i]->form == FORM_POSSIBLE_AGAIN || both[i]->another ||
            both[i]->noticed != NULL || both[i]->within.wanted != 0)
            return false;
    if (old->despite != new->despite || was->n_causes != is->n_causes)
        return false;
    for (uint32_t i = 0; i < was->n_causes; i++)
        if ((old->despite_of == NULL || old->despite_of[i]) !=
            (new->despite_of == NULL || new->despite_of[i]))
            return false;
    return true;
}

enum reached { REACHED_NEVER, REACHED_ONCE, REACHED_PERHAPS };

static bool reads_rough(const struct twins *pair, const struct answer *answer)
{
    for (uint32_t i = 0; i < answer->slice->n_choices; i++)
        if (answer->slice->used[i] && pair->rough_row[i])
            return true;
    return false;
}

static enum reached ask(struct twins *pair, const struct question *question)
{
    struct answer answer;
    enum reached reached = REACHED_PERHAPS;

    answer_find(&pair->study, question, &answer);
    if (answer_level(&answer, question->watches[0]) != 0)
        reached = REACHED_ONCE;
    else if (answer_complete(&answer) && !answer_dead_end(&answer) &&
             !reads_rough(pair, &answer))
        reached = REACHED_NEVER;
    answer_release(&answer);
    return reached;
}

/* Is it, by any way, on paths that end behind the other one's breach? */
static enum reached reach(struct twins *pair, uint32_t watch, uint32_t end,
                          uint32_t faults)
{
    const bool until = true;
    struct question question = {
        .watches = &watch, .n_watches = 1, .until = &until, .faults = faults,
        .most_effort = MOST_EFFORT, .apart = true, .free_times = true};
    enum reached reached;

    pair->study.ends.n = 0;
    vec_push(&pair->study.ends, end);
    reached = ask(pair, &question);
    if (reached != REACHED_NEVER && pair->study.model->n_movements > 0) {
        question.free_times = false;
        reached = ask(pair, &question);
    }
    return reached;
}

enum asks asking_compare(struct asking *asking, uint32_t requirement)
{
    struct twins *pair = &asking->pair;
    const struct twins_breach *at;
    const struct requirement *old, *new;
    enum reached less, more;

    if (!asking->ready)
        return ASKS_NOT_KNOWN;
    at = &pair->breaches[requirement];
    if (at->partner == MODEL_NONE)
        return ASKS_NOT_KNOWN;
    old = &pair->was.model->requirements[at->partner];
    new = &pair->is.model->requirements[requirement];
    if (!can_be_compared(pair->was.model, pair->is.model, old, new))
        return ASKS_NOT_KNOWN;
    more = reach(pair, at->only_new, at->was, new->despite);
    less = reach(pair, at->only_old, at->is, new->despite);
    if (more == REACHED_PERHAPS || less == REACHED_PERHAPS)
        return ASKS_NOT_KNOWN;
    if (more == REACHED_NEVER)
        return less == REACHED_NEVER ? ASKS_SAME : ASKS_LESS;
    return less == REACHED_NEVER ? ASKS_MORE : ASKS_OTHER;
}
