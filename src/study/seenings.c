#include "study/seenings.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/answer.h"
#include "study/more.h"

void seenings_release(struct seenings *s)
{
    vec_release(&s->open);
    vec_release(&s->cells);
    dead_ends_release(&s->ends);
}

void seenings_put(struct seenings *s, uint32_t group, flat_expr condition,
                  enum chart_state *state)
{
    *state = CHART_NOT_KNOWN;
    vec_push(&s->open, ((struct seening){condition, state, group,
                                         FLAT_NONE}));
}

static flat_expr no_error(const struct study *study)
{
    struct flat_builder *b = study->lowered->builder;
    flat_expr none = flat_const(b, 1);

    for (size_t i = 0; i < study->ends.n; i++)
        none = flat_binary(
            b, FLAT_AND, none,
            flat_not(b, study->lowered->flat->watches[study->ends.at[i]]
                            .condition));
    return none;
}

void seenings_watches(struct seenings *s, const flat_expr *conditions,
                      uint32_t n, uint32_t *watches)
{
    struct flat_builder *b = s->study->lowered->builder;
    struct flat_watch *all = arena_array(s->study->arena, (size_t)n + 1,
                                         sizeof *all);
    const struct study_more more = {all, n, NULL, 0};
    flat_expr judged = no_error(s->study);

    for (uint32_t i = 0; i < n; i++) {
        watches[i] = s->study->lowered->flat->n_watches + i;
        all[i] = (struct flat_watch){
            WATCH_ACT, i, 0, flat_binary(b, FLAT_AND, conditions[i], judged)};
    }
    study_add(s->study, &more);
}

/* Gives each condition a watch; one that is false for good needs none. */
static void take_in(struct seenings *s)
{
    struct flat_builder *b = s->study->lowered->builder;
    flat_expr judged = no_error(s->study);
    VEC(struct flat_watch) watches = {0};
    uint32_t first = s->study->lowered->flat->n_watches;

    for (size_t i = 0; i < s->open.n; i++) {
        flat_expr whole = flat_binary(b, FLAT_AND, s->open.at[i].condition,
                                      judged);
        const struct flat_node *node = flat_node(b, whole);

        if (node->op == FLAT_CONST && node->value == 0) {
            *s->open.at[i].state = CHART_NEVER;
            continue;
        }
        s->open.at[i].watch = first + (uint32_t)watches.n;
        vec_push(&watches, ((struct flat_watch){
            WATCH_ACT, (uint32_t)i, 0, whole}));
    }
    const struct study_more more = {watches.at, (uint32_t)watches.n,
                                    s->cells.at, (uint32_t)s->cells.n};
    study_add(s->study, &more);
    vec_clear(&s->cells);
    vec_release(&watches);
}

/* One group: those that are open yet. */
struct group {
    struct seenings *s;
    uint32_t *watches;
    enum chart_state **state;
    bool *until;
    uint32_t n;
};

static bool is_rough(const struct seenings *s, const struct answer *answer)
{
    const struct lowered *lowered = s->study->lowered;

    for (uint32_t i = 0; s->rough && lowered->rough != NULL &&
                         i < lowered->flat->n_choices; i++)
        if (answer->slice->used[i] && lowered->rough[i])
            return true;
    return false;
}

/* A run with any movement times settles only what cannot be. */
static void settle(struct group *group, const struct answer *answer,
                   bool exact)
{
    bool complete = answer_complete(answer) && !is_rough(group->s, answer);
    uint32_t n = 0;

    for (uint32_t i = 0; i < group->n; i++) {
        bool seen = answer_level(answer, group->watches[i]) != 0;

        if (seen && exact)
            *group->state[i] = CHART_SEEN;
        else if (!seen && complete)
            *group->state[i] = CHART_NEVER;
        else {
            group->watches[n] = group->watches[i];
            group->state[n++] = group->state[i];
        }
    }
    group->n = n;
}

/* Assumptions outside the question: a scan of it is one of the whole only
 * where they can always go on. */
static void note_outside(struct seenings *s, const struct answer *answer)
{
    enum stop_reason stop = dead_ends_outside(&s->ends, s->study, answer);

    if (stop == STOP_DEAD_END || stop == STOP_DEAD_END_LEANS)
        s->dead_end = true;
    else if (stop != STOP_NONE)
        s->stop = stop;
}

static void note(struct seenings *s, const struct answer *answer, bool exact)
{
    enum stop_reason stop = answer_stop(answer);

    if (answer->reach->situations > s->situations)
        s->situations = answer->reach->situations;
    if (exact && answer_dead_end(answer))
        s->dead_end = true;
    if (exact && stop != STOP_NONE)
        s->stop = stop;
}

static void ask(struct group *group, bool free_times)
{
    struct seenings *s = group->s;
    const struct question question = {
        .watches = group->watches,
        .n_watches = group->n,
        .faults = s->faults,
        .free_times = free_times,
        .until = group->until,
    };
    struct answer answer;
    bool exact;

    if (group->n == 0)
        return;
    exact = !free_times || !question_has_times(s->study, &question);
    answer_find(s->study, &question, &answer);
    note(s, &answer, exact);
    settle(group, &answer, exact);
    if (exact) {
        note_outside(s, &answer);
        group->n = 0;
    }
    answer_release(&answer);
}

static void ask_group(struct seenings *s, size_t from, size_t to)
{
    struct arena *scratch = arena_new();
    size_t most = to - from + 1;
    struct group group = {s, arena_array(scratch, most, sizeof(uint32_t)),
                          arena_array(scratch, most, sizeof *group.state),
                          arena_array(scratch, most, sizeof(bool)), 0};

    for (size_t i = from; i < to; i++) {
        if (s->open.at[i].watch == FLAT_NONE)
            continue;
        group.watches[group.n] = s->open.at[i].watch;
        group.until[group.n] = true;
        group.state[group.n++] = s->open.at[i].state;
    }
    ask(&group, true);
    ask(&group, false);
    arena_free(scratch);
}

void seenings_ask(struct seenings *s,
                  void (*progress)(uint32_t done, uint32_t all))
{
    s->ends.without_sequences = true;
    take_in(s);
    for (size_t from = 0, to; from < s->open.n; from = to) {
        for (to = from + 1;
             to < s->open.n && s->open.at[to].group == s->open.at[from].group;)
            to++;
        ask_group(s, from, to);
        if (progress != NULL)
            progress((uint32_t)to, (uint32_t)s->open.n);
    }
    vec_clear(&s->open);
}
