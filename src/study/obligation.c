#include "study/obligation.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/answer.h"

static void add(struct obligations *all, enum obligation_kind kind,
                uint32_t index, uint32_t part, uint32_t watch)
{
    all->at[all->n++] = (struct obligation){.kind = kind, .index = index,
                                            .part = part, .watch = watch};
}

/* ---- effects ---- */

/* least_on: 0, off and on; 1, on only. */
static void add_effects_of(struct obligations *all,
                           const struct model *model, uint32_t control,
                           uint32_t other, uint32_t least_on)
{
    for (uint32_t a = 0; a < model->n_actuators; a++)
        for (uint32_t on = least_on;
             on <= 1 && decision_moves(&model->actuators[a]); on++) {
            add(all, OBLIGATION_EFFECT, a, on, FLAT_NONE);
            all->at[all->n - 1].control = control;
            all->at[all->n - 1].other = other;
        }
}

/* Off, where a variable has come to where a movement leads. */
static void add_arrivals(struct obligations *all, const struct model *model,
                         uint32_t movement)
{
    const struct movement *m = model->movements;
    uint32_t first = 0;

    while (m[first].slot != m[movement].slot)
        first++;
    for (uint32_t i = first; i < movement; i++)
        if (m[i].slot == m[movement].slot && m[i].to == m[movement].to)
            return;
    for (uint32_t a = 0; a < model->n_actuators; a++) {
        struct obligation *what = &all->at[all->n];

        if (!decision_moves(&model->actuators[a]))
            continue;
        add(all, OBLIGATION_EFFECT, a, 0, FLAT_NONE);
        what->control = what->other = MODEL_NONE;
        what->movement = first;
        what->at = m[movement].to;
    }
}

/* At most: each control alone, each pair of buttons, and each movement. */
static uint32_t most_effects(const struct model *model)
{
    uint32_t n = model->n_controls;

    return ((n + n * n / 2) * 2 + model->n_movements) * model->n_actuators;
}

static void add_effects(struct obligations *all, const struct model *model)
{
    for (uint32_t i = 0; i < model->n_controls; i++)
        add_effects_of(all, model, i, MODEL_NONE, 0);
    for (uint32_t i = 0; i < model->n_controls; i++)
        for (uint32_t k = i + 1; k < model->n_controls; k++)
            if (model->controls[i].kind == SIGNAL_BUTTON &&
                model->controls[k].kind == SIGNAL_BUTTON)
                add_effects_of(all, model, i, k, 1);
    for (uint32_t i = 0; i < model->n_movements; i++)
        add_arrivals(all, model, i);
}

/* ---- all ---- */

static void add_vectors(struct obligations *all, struct study *study)
{
    const struct decisions *decisions = study->model->decisions;

    for (uint32_t d = 0; d < decisions->n; d++)
        for (uint32_t k = 0; k < decisions->at[d].n_vectors; k++)
            add(all, OBLIGATION_VECTOR, d, k,
                study->lowered->vector + decisions->at[d].first_vector + k);
}

struct obligations obligations_of(struct study *study)
{
    const struct model *model = study->model;
    struct obligations all = {0};
    uint32_t n = model->n_branches + model->decisions->n_vectors +
                 most_effects(model);

    for (uint32_t r = 0; r < model->n_requirements; r++)
        n += model->requirements[r].n_triggers;
    all.at = arena_array(study->arena, n + 1, sizeof *all.at);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        for (uint32_t t = 0; t < model->requirements[r].n_triggers; t++)
            add(&all, OBLIGATION_TRIGGER, r, t,
                study->lowered->trigger[r] + t);
    for (uint32_t b = 0; b < model->n_branches; b++)
        add(&all, OBLIGATION_BRANCH, b, 0, study->lowered->branch[b]);
    all.first_vector = all.n;
    add_vectors(&all, study);
    all.n_watched = all.n;
    add_effects(&all, model);
    return all;
}

/* ---- reasons ---- */

/* What may happen while one is looked for. */
enum { WITH_POWER_LOSS = 1, WITH_HANDS = 2, WITH_FAULTS = 4 };

/* Some obligations that are asked together. */
struct asking {
    struct study *study;
    struct obligation **of;
    uint32_t n;
    bool complete;   /* what was not found cannot occur */
    bool *found;     /* per obligation: it occurs */
};

/* Rows that are not to change stay at rest. */
static uint32_t *fixed_rows(const struct study *study, int with)
{
    const struct model *model = study->model;
    uint32_t *fixed = arena_array(study->arena, model->n_choices + 1,
                                  sizeof *fixed);

    for (uint32_t i = 0; i < model->n_choices; i++) {
        const struct choice *choice = &model->choices[i];
        bool still = (choice->kind == CHOICE_POWER &&
                      !(with & WITH_POWER_LOSS)) ||
                     (choice->kind == CHOICE_OPERATOR &&
                      !(with & WITH_HANDS));

        fixed[i] = still ? choice->rest : FLAT_NONE;
    }
    return fixed;
}

/* What is told of those that occur. */
enum telling { TELL_SCANS, TELL_WAY };

/* Lies in the study's arena. */
static void tell_way(struct study *study, struct answer *answer,
                     struct obligation *what)
{
    const struct sequence *sequence = answer_sequence(
        study, answer, GOAL_WATCH, answer_watch(answer, what->watch));
    size_t n;
    uint32_t *copy;

    if (sequence == NULL)
        return;
    n = (size_t)sequence->length * sequence->n_choices;
    copy = arena_array(study->arena, n + 1, sizeof *copy);
    memcpy(copy, sequence->choices, n * sizeof *copy);
    what->hint = copy;
    what->n_hint = answer_level(answer, what->watch);
}

static void ask(struct asking *a, int with, enum telling telling)
{
    struct study *study = a->study;
    const uint32_t *fixed = fixed_rows(study, with);
    uint32_t *watches = arena_array(study->arena, a->n + 1, sizeof *watches);
    bool *wanted = arena_array(study->arena, a->n + 1, sizeof *wanted);
    struct question question = {
        .watches = watches, .n_watches = a->n, .until = wanted,
        .fixed_first = fixed, .fixed_next = fixed,
        .faults = with & WITH_FAULTS ? (study->most_faults > 0
                                            ? study->most_faults : 1) : 0,
    };
    struct answer answer;

    for (uint32_t i = 0; i < a->n; i++) {
        watches[i] = a->of[i]->watch;
        wanted[i] = true;
    }
    answer_find(study, &question, &answer);
    a->complete = answer_complete(&answer);
    for (uint32_t i = 0; i < a->n; i++) {
        uint32_t level = answer_level(&answer, watches[i]);

        a->found[i] = level > 0;
        if (level == 0)
            continue;
        if (telling == TELL_WAY)
            tell_way(study, &answer, a->of[i]);
        else
            a->of[i]->scans = level;
    }
    answer_release(&answer);
}

/* The first way of asking that finds it says why hands do not. */
static const struct {
    int with;
    enum obligation_state state;
} reasons[] = {
    {0, OBLIGATION_ELSEWHERE},
    {WITH_HANDS, OBLIGATION_TIMING},
    {WITH_HANDS | WITH_POWER_LOSS, OBLIGATION_POWER},
    {WITH_HANDS | WITH_POWER_LOSS | WITH_FAULTS, OBLIGATION_FAULT},
};

enum { REASONS = sizeof reasons / sizeof *reasons, FIRST_BEYOND_HANDS = 2 };

/* Those that were not found are left. */
static void leave_found(struct asking *a, enum obligation_state state)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < a->n; i++)
        if (a->found[i])
            a->of[i]->state = state;
        else
            a->of[n++] = a->of[i];
    a->n = n;
}

/* From that reason on. */
static void explain(struct asking *a, uint32_t from)
{
    enum obligation_state rest = OBLIGATION_NEVER;

    for (uint32_t i = from; i < REASONS && a->n > 0; i++) {
        ask(a, reasons[i].with, TELL_SCANS);
        leave_found(a, reasons[i].state);
        if (!a->complete) {
            rest = OBLIGATION_NOT_KNOWN;
            break;
        }
    }
    for (uint32_t i = 0; i < a->n; i++)
        a->of[i]->state = rest;
}

/* From i on, those that are asked together: the vectors of one decision look
 * at the same situations.  Behind the last of them; those that are not open
 * are left out. */
static uint32_t group(struct asking *a, const struct obligations *all,
                      uint32_t i)
{
    const struct obligation *first = &all->at[i];

    a->n = 0;
    do {
        if (all->at[i].state == OBLIGATION_OPEN)
            a->of[a->n++] = &all->at[i];
        i++;
    } while (first->kind == OBLIGATION_VECTOR && i < all->n_watched &&
             all->at[i].index == first->index);
    return i;
}

static struct asking start_asking(struct study *study,
                                  const struct obligations *all)
{
    return (struct asking){
        .study = study,
        .of = arena_array(study->arena, all->n_watched + 1,
                          sizeof(struct obligation *)),
        .found = arena_array(study->arena, all->n_watched + 1,
                             sizeof(bool))};
}

void obligations_exclude(struct study *study,
                         const struct obligations *obligations)
{
    struct asking a = start_asking(study, obligations);

    for (uint32_t i = 0; i < obligations->n_watched;) {
        uint32_t left = 0;

        i = group(&a, obligations, i);
        ask(&a, WITH_HANDS, TELL_WAY);
        for (uint32_t k = 0; k < a.n; k++)
            if (!a.found[k])
                a.of[left++] = a.of[k];
        a.n = left;
        if (a.complete)
            explain(&a, FIRST_BEYOND_HANDS);
    }
}

void obligations_explain(struct study *study,
                         const struct obligations *obligations)
{
    struct asking a = start_asking(study, obligations);

    for (uint32_t i = 0; i < obligations->n_watched;) {
        i = group(&a, obligations, i);
        explain(&a, 0);
    }
}

/* ---- pairs ---- */

enum obligation_state obligations_pair(const struct obligations *obligations,
                                       const struct decision *decision,
                                       const struct decision_pair *pair)
{
    const struct obligation *half =
        &obligations->at[obligations->first_vector + decision->first_vector];
    enum obligation_state a = half[pair->row[0]].state,
                          b = half[pair->row[1]].state;

    if (a == OBLIGATION_NEVER || b == OBLIGATION_NEVER)
        return OBLIGATION_NEVER;
    return a > b ? a : b;
}
