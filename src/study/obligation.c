#include "study/obligation.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/type.h"
#include "study/answer.h"

static void add(struct obligations *all, enum obligation_kind kind,
                uint32_t index, uint32_t part, uint32_t watch)
{
    all->at[all->n++] = (struct obligation){.kind = kind, .index = index,
                                            .part = part, .watch = watch};
}

/* ---- effects ---- */

/* Something that moves, or the horn that tells of it: it sounds where a
 * movement is to come, and falls silent where none is. */
static bool moves(const struct actuator *actuator)
{
    return actuator->type->kind == TYPE_BOOL &&
           (actuator->kind == SIGNAL_VALVE ||
            actuator->kind == SIGNAL_MOTOR ||
            actuator->kind == SIGNAL_HORN ||
            actuator->kind == SIGNAL_OUTPUT);
}

/* least_on: 0, off and on; 1, on only. */
static void add_effects_of(struct obligations *all,
                           const struct model *model, uint32_t control,
                           uint32_t other, uint32_t least_on)
{
    for (uint32_t a = 0; a < model->n_actuators; a++)
        for (uint32_t on = least_on;
             on <= 1 && moves(&model->actuators[a]); on++) {
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

        if (!moves(&model->actuators[a]))
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

struct obligations obligations_of(struct study *study)
{
    const struct model *model = study->model;
    struct obligations all = {NULL, 0, 0};
    uint32_t n = model->n_branches + most_effects(model);

    for (uint32_t r = 0; r < model->n_requirements; r++)
        n += model->requirements[r].n_triggers;
    all.at = arena_array(study->arena, n + 1, sizeof *all.at);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        for (uint32_t t = 0; t < model->requirements[r].n_triggers; t++)
            add(&all, OBLIGATION_TRIGGER, r, t,
                study->lowered->trigger[r] + t);
    for (uint32_t b = 0; b < model->n_branches; b++)
        add(&all, OBLIGATION_BRANCH, b, 0, study->lowered->branch[b]);
    all.n_watched = all.n;
    add_effects(&all, model);
    return all;
}

/* ---- reasons ---- */

/* What may happen while one is looked for. */
enum { WITH_POWER_LOSS = 1, WITH_HANDS = 2, WITH_FAULTS = 4 };

struct asking { /* what came out */
    uint32_t level;  /* of the shortest way, 0: none */
    bool complete;
    const uint32_t *way; /* that, if it was asked for; or NULL */
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

/* Lies in the study's arena. */
static const uint32_t *copy_way(struct study *study,
                                const struct sequence *sequence)
{
    size_t n;
    uint32_t *copy;

    if (sequence == NULL)
        return NULL;
    n = (size_t)sequence->length * sequence->n_choices;
    copy = arena_array(study->arena, n + 1, sizeof *copy);
    memcpy(copy, sequence->choices, n * sizeof *copy);
    return copy;
}

static struct asking ask(struct study *study, uint32_t watch, int with,
                         bool way)
{
    static const bool wanted = true;
    const uint32_t *fixed = fixed_rows(study, with);
    const struct question question = {
        .watches = &watch, .n_watches = 1, .until = &wanted,
        .fixed_first = fixed, .fixed_next = fixed,
        .faults = with & WITH_FAULTS ? (study->most_faults > 0
                                            ? study->most_faults : 1) : 0,
    };
    struct asking asked = {0, false, NULL};
    struct answer answer;

    answer_find(study, &question, &answer);
    asked.level = answer_level(&answer, watch);
    asked.complete = answer_complete(&answer);
    if (way && asked.level > 0)
        asked.way = copy_way(study, answer_sequence(
                                        study, &answer, GOAL_WATCH,
                                        answer_watch(&answer, watch)));
    answer_release(&answer);
    return asked;
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

/* From that reason on. */
static void explain(struct study *study, struct obligation *what,
                    uint32_t from)
{
    for (uint32_t i = from; i < REASONS; i++) {
        struct asking asked = ask(study, what->watch, reasons[i].with, false);

        if (asked.level > 0) {
            what->state = reasons[i].state;
            what->scans = asked.level;
            return;
        }
        if (!asked.complete) {
            what->state = OBLIGATION_NOT_KNOWN;
            return;
        }
    }
    what->state = OBLIGATION_NEVER;
}

void obligations_exclude(struct study *study,
                         const struct obligations *obligations)
{
    for (uint32_t i = 0; i < obligations->n_watched; i++) {
        struct obligation *what = &obligations->at[i];
        struct asking asked = ask(study, what->watch, WITH_HANDS, true);

        if (asked.complete && asked.level == 0)
            explain(study, what, FIRST_BEYOND_HANDS);
        what->hint = asked.way;
        what->n_hint = asked.way != NULL ? asked.level : 0;
    }
}

void obligations_explain(struct study *study,
                         const struct obligations *obligations)
{
    for (uint32_t i = 0; i < obligations->n_watched; i++)
        if (obligations->at[i].state == OBLIGATION_OPEN)
            explain(study, &obligations->at[i], 0);
}
