#include "study/byhand.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "check/type.h"
#include "study/handhint.h"
#include "study/handjoin.h"
#include "study/handorder.h"
#include "study/handpairs.h"
#include "study/handreturn.h"
#include "study/handsearch.h"
#include "study/handstill.h"
#include "study/handwrite.h"

enum {
    MOST_POSITIONS = 8, /* of a control that is tried */
    MOST_PLACES = 16    /* where the machine can be put for the first round */
};

/* ---- controls ---- */

static bool *find_left_out(struct arena *arena, const struct model *model)
{
    bool *left_out = arena_array(arena, model->n_controls + 1,
                                 sizeof *left_out);

    for (uint32_t i = 0; i < model->n_controls; i++)
        left_out[i] = model->choices[model->controls[i].choice].count >
                      MOST_POSITIONS;
    return left_out;
}

/* ---- a sequence ---- */

/* Back from a step to where it began: it is undone and, where that is not
 * enough, what led there is undone too and done again. */
static bool go_back(struct finder *f, struct handwrite *w,
                    const struct hand_act *last, uint32_t node)
{
    const struct hand_act *led = &f->search.nodes.at[node].act;
    struct hand_act back = handwrite_reverse(last);

    if (!handwrite_try(f, w, &back))
        return false;
    if (handwrite_is_as(f, w, node))
        return true;
    if (f->search.nodes.at[node].parent == MODEL_NONE ||
        led->n_changes == 0 || led->seconds == 0)
        return false;
    back = handwrite_reverse(led);
    return handwrite_try(f, w, &back) && handwrite_try(f, w, led) &&
           handwrite_is_as(f, w, node);
}

/* Effects that begin at the same node are looked at one after the other. */
static void add_effects(struct finder *f, struct handwrite *w, uint32_t node,
                        bool *asked)
{
    enum { MOST_STEPS = 40 };
    uint32_t from = f->search.nodes.at[node].parent;
    struct hand_act last = f->search.nodes.at[node].act;

    for (uint32_t i = f->obligations->n_watched;
         i < f->obligations->n && w->steps.n < MOST_STEPS; i++) {
        uint32_t next = f->search.first[i];
        struct handwrite_mark mark = handwrite_mark(w);
        struct hand_act act;

        if (f->reached[i] || asked[i] || next == MODEL_NONE ||
            next == node || f->search.nodes.at[next].parent != from ||
            handwrite_ever(f, w, i))
            continue;
        act = f->search.nodes.at[next].act;
        if (go_back(f, w, &last, from) && handwrite_try(f, w, &act) &&
            handwrite_happened(f, w, i)) {
            asked[i] = true;
            last = act;
        } else {
            handwrite_take_back(f, w, &mark);
        }
    }
}

static bool press_one(struct finder *f, struct handwrite *w,
                      const struct hand_change *change)
{
    const struct hand_act act = {.changes = {*change}, .n_changes = 1,
                                 .seconds = HAND_USUAL_S,
                                 .machine = MODEL_NONE};

    return handwrite_try(f, w, &act);
}

/* What two hands together do must not be done by one after the other: no
 * duty, but worth a look where it is so. */
static void write_one_by_one(struct finder *f, const struct obligation *effect,
                             uint32_t node, uint32_t first)
{
    const struct hand_node *nodes = f->search.nodes.at;
    const struct hand_act *both = &nodes[node].act;
    struct handwrite w = {0};
    bool off = true;

    handwrite_way(f, &w, nodes[node].parent);
    for (uint32_t i = 0; i < 2 && off; i++)
        off = press_one(f, &w, &both->changes[i == 0 ? first : 1 - first]) &&
              w.expected[effect->index].sure &&
              w.expected[effect->index].value == 0;
    if (off) {
        handwrite_finish(f, &w);
        return;
    }
    handwrite_drop(&w);
}

static void write_sequence(struct finder *f, uint32_t node, bool *asked)
{
    struct handwrite w = {0};

    handwrite_way(f, &w, node);
    if (f->search.nodes.at[node].parent != MODEL_NONE)
        add_effects(f, &w, node, asked);
    handwrite_finish(f, &w);
}

/* ---- which sequences ---- */

/* The longest ways first: they reach much on the way. */
static uint32_t farthest_open(const struct finder *f, const bool *asked)
{
    uint32_t best = MODEL_NONE, cost = 0;

    for (uint32_t i = 0; i < f->obligations->n; i++) {
        uint32_t node = f->search.first[i];

        if (f->reached[i] || asked[i] || node == MODEL_NONE ||
            (best != MODEL_NONE && f->search.nodes.at[node].cost <= cost))
            continue;
        best = i;
        cost = f->search.nodes.at[node].cost;
    }
    return best;
}

/* What no sequence reaches yet is looked for in its steps. */
static void expect_open(struct finder *f)
{
    for (uint32_t i = 0; i < f->obligations->n; i++)
        f->search.pending[i] =
            !f->reached[i] &&
            f->obligations->at[i].state == OBLIGATION_OPEN;
}

static void write_sequences(struct finder *f)
{
    bool *asked = arena_array(f->study->arena, f->obligations->n + 1,
                              sizeof *asked);
    uint32_t next;

    while ((next = farthest_open(f, asked)) != MODEL_NONE &&
           steer_end(f->search.steer) == EXPLORE_COMPLETE) {
        asked[next] = true;
        expect_open(f);
        write_sequence(f, f->search.first[next], asked);
    }
}

/* Was it told of the same two buttons already? */
static bool is_told(const struct finder *f, uint32_t number)
{
    const struct obligation *all = f->obligations->at;

    for (uint32_t i = f->obligations->n_watched; i < number; i++)
        if (f->reached[i] && f->search.first[i] != MODEL_NONE &&
            all[i].control == all[number].control &&
            all[i].other == all[number].other)
            return true;
    return false;
}

static void write_negatives(struct finder *f)
{
    for (uint32_t i = f->obligations->n_watched; i < f->obligations->n; i++) {
        const struct obligation *what = &f->obligations->at[i];
        uint32_t node = f->search.first[i];

        if (what->control == MODEL_NONE || what->other == MODEL_NONE ||
            !f->reached[i] ||
            node == MODEL_NONE || is_told(f, i) ||
            steer_end(f->search.steer) != EXPLORE_COMPLETE)
            continue;
        write_one_by_one(f, what, node, 0);
        write_one_by_one(f, what, node, 1);
    }
}

/* ---- rounds ---- */

static void begin_at(struct finder *f, uint32_t machine, int64_t value)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->logic->n_machine;
    bool *given = arena_array(s->arena, n + 1, sizeof *given);
    int64_t *at = arena_array(s->arena, n + 1, sizeof *at);
    struct hand_where *where = ARENA_NEW(s->arena, struct hand_where);

    given[machine] = true;
    at[machine] = value;
    *where = (struct hand_where){1, given, at};
    if (handlogic_begins(f->logic, machine, value))
        handsearch_begin(s, handsearch_rest(s, where));
}

/* Wherever the machine stands, and with each variable at each place where it
 * can begin. */
static void begin(struct finder *f)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->logic->n_machine;
    bool *none = arena_array(s->arena, n + 1, sizeof *none);
    struct hand_where *anywhere = ARENA_NEW(s->arena, struct hand_where);

    *anywhere = (struct hand_where){
        0, none, arena_array(s->arena, n + 1, sizeof(int64_t))};
    handsearch_begin(s, handsearch_rest(s, anywhere));
    for (uint32_t i = 0; i < n; i++) {
        const struct hand_value *value = &f->logic->machine[i];

        if (value->cell == FLAT_NONE ||
            value->high - value->low >= MOST_PLACES)
            continue;
        for (int64_t at = value->low; at <= value->high; at++)
            begin_at(f, i, at);
    }
}

/* Hints of vectors, of which there are many, come last: what they lead to
 * alone is not gone on from. */
static void run_round(struct finder *f, enum hand_round round,
                      const struct byhand_setting *setting)
{
    struct handsearch *s = &f->search;
    size_t first = f->sequences.n;
    bool *before = arena_array(s->arena, f->obligations->n + 1,
                               sizeof *before);

    memcpy(before, f->reached, f->obligations->n * sizeof *before);
    vec_clear(&s->nodes);
    s->moving = round == ROUND_MOVING;
    s->tried = 0;
    for (uint32_t i = 0; i < f->obligations->n; i++)
        s->first[i] = MODEL_NONE;
    begin(f);
    expect_open(f);
    s->most_tried = setting->most_tried;
    handhint_try(s, 0, f->obligations->first_vector);
    handsearch_go(s);
    s->most_tried = s->tried + setting->for_vectors;
    handhint_try(s, f->obligations->first_vector, f->obligations->n_watched);
    write_sequences(f);
    write_negatives(f);
    handpairs_write(f);
    if (!s->moving || !f->logic->can_stand) {
        handorder_write(f);
        handstill_write(f);
        handreturn_write(f);
    }
    handjoin_round(f, first, before);
}

/* False: it cannot be said where sequences begin. */
static bool start_search(struct finder *f,
                         const struct byhand_setting *setting)
{
    struct handsearch *s = &f->search;
    uint32_t n = f->obligations->n;

    s->arena = f->study->arena;
    s->logic = f->logic;
    s->left_out = find_left_out(s->arena, f->logic->model);
    s->obligations = f->obligations;
    s->first = arena_array(s->arena, n + 1, sizeof *s->first);
    s->pending = arena_array(s->arena, n + 1, sizeof *s->pending);
    s->happened = arena_array(s->arena, n + 1, sizeof *s->happened);
    s->inert = arena_array(s->arena, f->logic->model->n_controls + 1,
                           sizeof *s->inert);
    s->for_effects = setting->for_effects;
    f->reached = arena_array(s->arena, n + 1, sizeof *f->reached);
    f->keeps = arena_array(s->arena, f->logic->model->n_controls + 1,
                           sizeof *f->keeps);
    return handsearch_open(s, &setting->explore);
}

const struct byhand *byhand_find(struct study *study,
                                 const struct handlogic *logic,
                                 const struct obligations *obligations,
                                 const struct byhand_setting *setting)
{
    struct byhand *found = ARENA_NEW(study->arena, struct byhand);
    struct finder f = {.study = study, .logic = logic,
                       .obligations = obligations};
    struct hand_sequence *sequences;
    bool begins;

    begins = start_search(&f, setting);
    for (int round = ROUND_STANDING; round <= ROUND_MOVING; round++)
        if (begins && steer_end(f.search.steer) == EXPLORE_COMPLETE &&
            (round == ROUND_MOVING || logic->can_stand)) {
            run_round(&f, (enum hand_round)round, setting);
            found->tried += f.search.tried;
        }
    found->end = steer_end(f.search.steer);
    if (!begins && found->end == EXPLORE_COMPLETE)
        found->end = EXPLORE_SITUATIONS;
    found->from_power_up = f.search.from_power_up;
    found->gave_up = f.search.gave_up;
    found->can_stand = logic->can_stand;
    found->n_pairs = f.n_pairs;
    found->left_out = f.search.left_out;
    found->n_sequences = (uint32_t)f.sequences.n;
    sequences = arena_array(study->arena, f.sequences.n + 1,
                            sizeof *sequences);
    if (f.sequences.n > 0)
        memcpy(sequences, f.sequences.at, f.sequences.n * sizeof *sequences);
    found->sequences = sequences;
    steer_close(f.search.steer);
    vec_release(&f.search.nodes);
    vec_release(&f.sequences);
    vec_release(&f.written);
    return found;
}
