#include "study/handjoin.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "logic/slice.h"
#include "study/handcover.h"
#include "study/handwrite.h"

enum { MOST_STEPS = 40 }; /* of a sequence */

/* A sequence as it was written. */
struct part {
    const struct hand_sequence *sequence;
    struct hand_written written;
    uint32_t n_way;      /* steps before everything is put back */
    uint32_t length;     /* steps of it that are kept; n_way + 1: also what
                            putting back shows */
    bool *left_out;      /* per step of the way: it is not done */
    uint32_t group;      /* parts of one group begin alike; 0: wherever the
                            machine stands */
    uint32_t station;    /* of what it tests: a control there */
    uint32_t control;    /* that it tests */
};

struct range {
    uint32_t from, to; /* steps */
};

/* What a step shows besides obligations. */
struct observation {
    const struct hand_stand *begin;
    const uint32_t *hands;             /* before it */
    const struct hand_expected *known; /* before it, as known_at */
    const struct hand_step *step;
};

struct joining {
    struct finder *finder;
    struct part *parts;
    uint32_t n;
    struct cover_way *ways;  /* of the parts */
    uint32_t *count;         /* per fact: steps that show it */
    VEC(struct observation) observations;
    struct handwrite w;      /* the sequence that is being joined */
    bool open;               /* there is one */
    bool waits;              /* it waits until something is seen */
};

static const struct model *model_of(const struct joining *j)
{
    return j->finder->logic->model;
}

/* ---- what a step shows ---- */

static bool begins_alike(const struct joining *j, const struct hand_stand *a,
                         const struct hand_stand *b)
{
    uint32_t n = j->finder->logic->n_machine;

    if (a->kept != b->kept)
        return false;
    for (uint32_t i = 0; a->where != b->where && i < n; i++)
        if (a->where->given[i] != b->where->given[i] ||
            (a->where->given[i] && a->where->at[i] != b->where->at[i]))
            return false;
    return true;
}

static bool does_alike(const struct hand_step *a, const struct hand_step *b)
{
    return a->seconds == b->seconds && a->movement == b->movement &&
           a->power == b->power &&
           (a->movement == MODEL_NONE || a->seen == b->seen) &&
           handwrite_same(a->changes, a->n_changes, b->changes, b->n_changes);
}

/* Is all that one step promises promised by the other one? */
static bool promises(const struct joining *j, const struct hand_expected *what,
                     const struct hand_expected *other)
{
    for (uint32_t i = 0; i < model_of(j)->n_actuators; i++)
        if (what[i].sure &&
            (!other[i].sure || other[i].value != what[i].value))
            return false;
    return true;
}

/* What is so for sure of the variables of the control text, per cell: a step
 * that shows the same from elsewhere does not test the same. */
static const struct hand_expected *known_at(struct joining *j, uint32_t place)
{
    const struct handlogic *logic = j->finder->logic;
    struct hand_expected *known = arena_array(
        j->finder->study->arena, (size_t)logic->slice->n_cells + 1,
        sizeof *known);

    for (uint32_t i = 0; i < logic->slice->n_cells; i++)
        known[i].sure = logic->of_control[i] &&
                        steer_sure(j->finder->search.steer, place, i,
                                   &known[i].value);
    return known;
}

/* Is all that is known of them known there too? */
static bool knows(const struct joining *j, const struct hand_expected *what,
                  const struct hand_expected *there)
{
    for (uint32_t i = 0; i < j->finder->logic->slice->n_cells; i++)
        if (what[i].sure &&
            (!there[i].sure || there[i].value != what[i].value))
            return false;
    return true;
}

static bool is_same(const struct joining *j, const struct observation *a,
                    const struct observation *b)
{
    return does_alike(a->step, b->step) &&
           memcmp(a->hands, b->hands,
                  model_of(j)->n_controls * sizeof *a->hands) == 0 &&
           begins_alike(j, a->begin, b->begin) &&
           knows(j, a->known, b->known) && knows(j, b->known, a->known) &&
           promises(j, a->step->expected, b->step->expected) &&
           promises(j, b->step->expected, a->step->expected);
}

/* Its number; the same one has the same number. */
static uint32_t number_of(struct joining *j, const struct observation *what)
{
    for (uint32_t i = 0; i < j->observations.n; i++)
        if (is_same(j, &j->observations.at[i], what))
            return i;
    vec_push(&j->observations, *what);
    return (uint32_t)j->observations.n - 1;
}

static uint32_t place_before(const struct part *part, uint32_t step)
{
    return step == 0 ? part->written.begin.place
                     : part->written.places[step - 1];
}

/* Hands after so many steps of a part. */
static const uint32_t *hands_after(const struct joining *j,
                                   const struct part *part, uint32_t steps)
{
    uint32_t n = model_of(j)->n_controls;
    uint32_t *hands = arena_array(j->finder->study->arena, (size_t)n + 1,
                                  sizeof *hands);

    memcpy(hands, part->written.begin.position, n * sizeof *hands);
    for (uint32_t k = 0; k < steps; k++)
        for (uint32_t i = 0; i < part->sequence->steps[k].n_changes; i++) {
            const struct hand_change *c =
                &part->sequence->steps[k].changes[i];

            hands[c->control] = c->to;
        }
    return hands;
}

/* ---- facts ---- */

/* Obligations are numbered first.  The step behind the way stands for putting
 * everything back. */
static struct cover_step facts_of(struct joining *j, const struct part *part,
                                  uint32_t step)
{
    uint32_t n = j->finder->obligations->n, found = 0;
    uint32_t end = step < part->n_way ? step + 1 : part->sequence->n_steps;
    uint32_t *facts = arena_array(j->finder->study->arena, (size_t)n + 2,
                                  sizeof *facts);

    for (uint32_t i = 0; i < n; i++) {
        bool happened = false;

        for (uint32_t k = step; k < end; k++)
            happened = happened ||
                       part->written.happened[(size_t)k * n + i];
        if (happened)
            facts[found++] = i;
    }
    if (step < part->n_way) {
        const struct observation what = {
            &part->written.begin, hands_after(j, part, step),
            known_at(j, place_before(part, step)),
            &part->sequence->steps[step]};

        facts[found++] = n + number_of(j, &what);
    }
    return (struct cover_step){facts, found};
}

static void read_facts(struct joining *j)
{
    j->ways = arena_array(j->finder->study->arena, (size_t)j->n + 1,
                          sizeof *j->ways);
    for (uint32_t p = 0; p < j->n; p++) {
        const struct part *part = &j->parts[p];
        struct cover_step *steps = arena_array(
            j->finder->study->arena, (size_t)part->n_way + 1, sizeof *steps);

        for (uint32_t k = 0; k <= part->n_way; k++)
            steps[k] = facts_of(j, part, k);
        j->ways[p] = (struct cover_way){
            .steps = steps, .n_steps = part->n_way + 1,
            .extra = part->sequence->n_steps - part->n_way};
    }
}

/* Counts that steps of a part are done no more, or are done; false: something
 * is shown nowhere else. */
static bool count_steps(struct joining *j, uint32_t number,
                        const struct range *steps, int more)
{
    bool shown = true;

    for (uint32_t k = steps->from; k < steps->to; k++) {
        const struct cover_step *step = &j->ways[number].steps[k];

        for (uint32_t i = 0; i < step->n_facts &&
                             !j->parts[number].left_out[k]; i++) {
            j->count[step->facts[i]] += (uint32_t)more;
            shown = shown && j->count[step->facts[i]] > 0;
        }
    }
    return shown;
}

/* ---- parts ---- */

/* A control at the same place; of several the first. */
static uint32_t station_of(const struct model *model, uint32_t control)
{
    const char *place = model->controls[control].place;

    for (uint32_t i = 0; place != NULL && i < control; i++)
        if (model->controls[i].place != NULL &&
            strcmp(model->controls[i].place, place) == 0)
            return i;
    return control;
}

/* What its last step but for putting back moves. */
static uint32_t tested_control(const struct part *part)
{
    for (uint32_t k = part->n_way; k-- > 0;)
        if (part->sequence->steps[k].n_changes > 0)
            return part->sequence->steps[k].changes[0].control;
    return 0;
}

static void read_part(struct joining *j, uint32_t number, size_t sequence)
{
    struct part *part = &j->parts[number];
    struct finder *f = j->finder;
    struct hand_sequence *copy = ARENA_NEW(f->study->arena,
                                           struct hand_sequence);

    *copy = f->sequences.at[sequence];
    part->sequence = copy;
    part->written = f->written.at[sequence];
    while (part->n_way < copy->n_steps && !copy->steps[part->n_way].back)
        part->n_way++;
    part->left_out = arena_array(f->study->arena, (size_t)part->n_way + 1,
                                 sizeof *part->left_out);
    part->control = tested_control(part);
    part->station = station_of(model_of(j), part->control);
    part->group = part->written.begin.where->n_given == 0 ? 0 : number + 1;
    for (uint32_t i = number; i-- > 0;)
        if (begins_alike(j, &j->parts[i].written.begin,
                         &part->written.begin))
            part->group = j->parts[i].group;
}

static bool is_before(const struct part *a, const struct part *b)
{
    if (a->group != b->group)
        return a->group < b->group;
    if (a->station != b->station)
        return a->station < b->station;
    return a->control < b->control;
}

/* Numbers of parts in the order in which they are done. */
static uint32_t *order_parts(const struct joining *j)
{
    uint32_t *order = arena_array(j->finder->study->arena, (size_t)j->n + 1,
                                  sizeof *order);

    for (uint32_t i = 0; i < j->n; i++) {
        uint32_t at = i;

        for (; at > 0 && is_before(&j->parts[i], &j->parts[order[at - 1]]);
             at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
    return order;
}

/* ---- joining ---- */

static bool is_at_rest(const struct joining *j, const uint32_t *hands)
{
    const struct model *model = model_of(j);

    for (uint32_t i = 0; i < model->n_controls; i++)
        if (hands[i] != model->choices[model->controls[i].choice].rest)
            return false;
    return true;
}

/* Does the machine stand for sure where the part wants it? */
static bool stands_so(struct joining *j, const struct part *part)
{
    const struct hand_where *where = part->written.begin.where;
    const struct hand_stand *now = &j->w.stand;
    struct steer *steer = j->finder->search.steer;

    if (now->kept || part->written.begin.kept)
        return begins_alike(j, &j->w.begin, &part->written.begin) ||
               where->n_given == 0;
    for (uint32_t i = 0; i < j->finder->logic->n_machine; i++) {
        uint32_t cell = j->finder->logic->machine[i].cell;
        int64_t value;

        if (where->given[i] && cell != FLAT_NONE &&
            (!steer_sure(steer, now->place, cell, &value) ||
             value != where->at[i]))
            return false;
    }
    return true;
}

/* Waits whose end depends on where the machine was put are not mixed. */
static bool waits(const struct part *part)
{
    for (uint32_t k = 0; k < part->n_way; k++)
        if (part->sequence->steps[k].seconds == 0)
            return true;
    return false;
}

static struct hand_act act_of(const struct joining *j,
                              const struct hand_step *step)
{
    struct hand_act act = {.n_changes = step->n_changes,
                           .power = step->power,
                           .seconds = step->seconds, .machine = MODEL_NONE,
                           .seen = step->seen};

    memcpy(act.changes, step->changes, sizeof act.changes);
    for (uint32_t i = 0; i < j->finder->logic->n_machine; i++)
        if (step->movement != MODEL_NONE &&
            j->finder->logic->movement[i] == step->movement)
            act.machine = i;
    return act;
}

/* Has all that a step is to show happened in steps from `since` on? */
static bool has_happened(const struct joining *j,
                         const struct cover_step *step, size_t since)
{
    uint32_t n = j->finder->obligations->n;

    for (uint32_t i = 0; i < step->n_facts; i++) {
        bool happened = step->facts[i] >= n;

        for (size_t k = since; !happened && k < j->w.steps.n; k++)
            happened = j->w.happened.at[k * n + step->facts[i]];
        if (!happened)
            return false;
    }
    return true;
}

/* In steps that wait for the machine only what is pending is looked for. */
static void expect_facts(struct joining *j, const struct cover_way *way)
{
    struct finder *f = j->finder;

    memset(f->search.pending, 0,
           f->obligations->n * sizeof *f->search.pending);
    for (uint32_t k = 0; k < way->n_steps; k++)
        for (uint32_t i = 0; i < way->steps[k].n_facts; i++)
            if (way->steps[k].facts[i] < f->obligations->n)
                f->search.pending[way->steps[k].facts[i]] = true;
}

/* Its steps from `from` on, and everything back; false: something is not as
 * it was, or is not shown. */
static bool repeat(struct joining *j, uint32_t number, uint32_t from)
{
    const struct part *part = &j->parts[number];
    size_t since;

    expect_facts(j, &j->ways[number]);
    for (uint32_t k = from; k < part->length && k < part->n_way; k++) {
        const struct hand_act act = act_of(j, &part->sequence->steps[k]);

        if (part->left_out[k])
            continue;
        if (!knows(j, known_at(j, place_before(part, k)),
                   known_at(j, j->w.stand.place)) ||
            !handwrite_try(j->finder, &j->w, &act) ||
            !promises(j, part->sequence->steps[k].expected, j->w.expected) ||
            !has_happened(j, &j->ways[number].steps[k], j->w.steps.n - 1))
            return false;
    }
    since = j->w.steps.n;
    return handwrite_put_back(j->finder, &j->w) &&
           (part->length <= part->n_way ||
            has_happened(j, &j->ways[number].steps[part->n_way], since));
}

/* Does a part behind what is written, without its first steps. */
static bool join_from(struct joining *j, uint32_t number, uint32_t from)
{
    struct handwrite_mark mark = handwrite_mark(&j->w);
    const struct range first = {0, from};

    if (count_steps(j, number, &first, -1)) {
        if (repeat(j, number, from) && j->w.steps.n <= MOST_STEPS)
            return true;
        handwrite_take_back(j->finder, &j->w, &mark);
    }
    count_steps(j, number, &first, 1);
    return false;
}

/* As few steps of it as can be. */
static bool join(struct joining *j, uint32_t number)
{
    const struct part *part = &j->parts[number];
    uint32_t steps = part->length < part->n_way ? part->length : part->n_way;

    if (!j->open || (waits(part) && j->waits) || !stands_so(j, part))
        return false;
    for (uint32_t from = steps; from-- > 0;)
        if (!part->left_out[from] &&
            is_at_rest(j, hands_after(j, part, from)) &&
            join_from(j, number, from)) {
            j->waits = j->waits || waits(part);
            return true;
        }
    return false;
}

static void close_sequence(struct joining *j)
{
    if (j->open)
        handwrite_finish(j->finder, &j->w);
    j->w = (struct handwrite){0};
    j->open = j->waits = false;
}

/* As it was written, which goes as it went. */
static void begin_with(struct joining *j, uint32_t number)
{
    const struct part *part = &j->parts[number];
    bool goes;

    close_sequence(j);
    handwrite_begin(j->finder, &j->w, part->written.begin);
    goes = repeat(j, number, 0);
    ENSURE(goes || steer_end(j->finder->search.steer) != EXPLORE_COMPLETE);
    j->open = goes;
    j->waits = waits(part);
}

/* ---- the round ---- */

static void choose(struct joining *j)
{
    struct arena *arena = j->finder->study->arena;
    uint32_t n_facts = j->finder->obligations->n +
                       (uint32_t)j->observations.n;

    j->count = arena_array(arena, (size_t)n_facts + 1, sizeof *j->count);
    handcover_choose(arena, j->ways, j->n, n_facts, j->count);
    for (uint32_t i = 0; i < j->n; i++)
        j->parts[i].length = j->ways[i].length;
}

/* Do these steps lead back to where they began?  What follows is then the same
 * without them. */
static bool is_round(const struct joining *j, const struct part *part,
                     const struct range *steps)
{
    return place_before(part, steps->from) == place_before(part, steps->to) &&
           memcmp(hands_after(j, part, steps->from),
                  hands_after(j, part, steps->to),
                  model_of(j)->n_controls * sizeof(uint32_t)) == 0;
}

/* Leaves steps out that lead nowhere and show nothing new. */
static void leave_out(struct joining *j, uint32_t number)
{
    struct part *part = &j->parts[number];
    uint32_t end = part->length < part->n_way ? part->length : part->n_way;

    for (uint32_t from = 0; from < end; from++)
        for (uint32_t to = end; to > from; to--) {
            const struct range steps = {from, to};

            if (!is_round(j, part, &steps))
                continue;
            if (count_steps(j, number, &steps, -1)) {
                memset(&part->left_out[from], true, to - from);
                from = to - 1;
                break;
            }
            count_steps(j, number, &steps, 1);
        }
}

/* Nothing that was reached is lost. */
static void check_reached(const struct finder *f, const bool *reached)
{
    for (uint32_t i = 0; i < f->obligations->n; i++)
        ENSURE(!reached[i] || f->reached[i] ||
               steer_end(f->search.steer) != EXPLORE_COMPLETE);
}

static void join_all(struct joining *j)
{
    const uint32_t *order = order_parts(j);

    for (uint32_t i = 0; i < j->n; i++)
        if (j->parts[order[i]].length > 0 &&
            steer_end(j->finder->search.steer) == EXPLORE_COMPLETE &&
            !join(j, order[i]))
            begin_with(j, order[i]);
    close_sequence(j);
}

void handjoin_round(struct finder *f, size_t first, const bool *before)
{
    struct joining j = {.finder = f, .n = (uint32_t)(f->sequences.n - first)};
    uint32_t n = f->obligations->n;
    bool *reached = arena_array(f->study->arena, (size_t)n + 1,
                                sizeof *reached);

    j.parts = arena_array(f->study->arena, (size_t)j.n + 1, sizeof *j.parts);
    for (uint32_t i = 0; i < j.n; i++)
        read_part(&j, i, first + i);
    read_facts(&j);
    choose(&j);
    for (uint32_t i = 0; i < j.n; i++)
        leave_out(&j, i);
    f->sequences.n = f->written.n = first;
    memcpy(reached, f->reached, n * sizeof *reached);
    memcpy(f->reached, before, n * sizeof *reached);
    join_all(&j);
    check_reached(f, reached);
    vec_release(&j.observations);
}
