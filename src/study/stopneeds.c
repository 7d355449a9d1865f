#include "study/stopneeds.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"

void stopneeds_put(struct stopneeds *needs, struct stopneeds_of of)
{
    vec_push(&needs->of, of);
}

static struct flat_builder *builder(const struct stopneeds *needs)
{
    return needs->seen->study->lowered->builder;
}

static struct arena *arena_of(const struct stopneeds *needs)
{
    return needs->seen->study->arena;
}

static flat_expr choice_is(const struct stopneeds *needs, uint32_t row,
                           uint32_t value)
{
    struct flat_builder *b = builder(needs);
    const struct flat_choice *choice =
        &needs->seen->study->lowered->flat->choices[row];
    int64_t low = choice->values[0], high = choice->values[0];

    for (uint32_t i = 1; i < choice->count; i++) {
        low = choice->values[i] < low ? choice->values[i] : low;
        high = choice->values[i] > high ? choice->values[i] : high;
    }
    return flat_binary(b, FLAT_EQ,
                       flat_leaf(b, FLAT_CHOICE, row, low, high),
                       flat_const(b, choice->values[value]));
}

/* ---- each input alone ---- */

/* Stands the column itself on this row? */
static bool is_own(const struct stopneeds *needs,
                   const struct stopmap_column *column, uint32_t row)
{
    const struct choice *choice = &needs->map->model->choices[row];

    if (choice->kind != CHOICE_OPERATOR)
        return false;
    if (column->kind == STOPMAP_EVERY)
        return needs->map->model->controls[choice->of].kind == SIGNAL_STOP;
    return choice->of == column->of;
}

static bool is_input(const struct choice *choice)
{
    return choice->count >= 2 && (choice->kind == CHOICE_OPERATOR ||
                                  choice->kind == CHOICE_INPUT ||
                                  choice->kind == CHOICE_SHARED);
}

/* Candidates of one cell, each with the answer: can it be on without? */
struct candidates {
    struct stopmap_need *at;
    enum chart_state *without;
    uint32_t n;
};

static void add_row(const struct stopneeds *needs, struct candidates *all,
                    uint32_t row)
{
    const struct choice *choice = &needs->map->model->choices[row];

    for (uint32_t v = 0; choice->count <= CHART_POSITIONS &&
                         v < choice->count; v++)
        all->at[all->n++] = (struct stopmap_need){.of = row, .value = v};
    if (choice->count > 2)
        all->at[all->n++] = (struct stopmap_need){
            .of = row, .value = choice->rest, .other = true};
}

static struct candidates candidates_of(const struct stopneeds *needs,
                                       const struct stopneeds_of *of)
{
    const struct model *model = needs->map->model;
    size_t most = (size_t)model->n_choices * (CHART_POSITIONS + 1) +
                  2 * (size_t)model->n_sensors + 1;
    struct candidates all = {
        .at = arena_array(arena_of(needs), most, sizeof *all.at)};

    for (uint32_t i = 0; i < model->n_choices; i++)
        if (is_input(&model->choices[i]) && !is_own(needs, of->column, i))
            add_row(needs, &all, i);
    for (uint32_t i = 0; i < model->n_sensors; i++)
        for (uint32_t v = 0; v < 2; v++)
            all.at[all.n++] = (struct stopmap_need){true, i, v, false};
    all.without = arena_array(arena_of(needs), (size_t)all.n + 1,
                              sizeof *all.without);
    return all;
}

static flat_expr stands(const struct stopneeds *needs,
                        const struct stopmap_need *need)
{
    struct flat_builder *b = builder(needs);
    flat_expr is = need->sensor
                       ? needs->seen->study->lowered->sensor[need->of]
                       : choice_is(needs, need->of, need->value);

    return need->sensor ? (need->value == 1 ? is : flat_not(b, is))
           : need->other ? flat_not(b, is) : is;
}

static void put_candidates(const struct stopneeds *needs,
                           const struct stopneeds_of *of,
                           const struct candidates *all)
{
    struct flat_builder *b = builder(needs);

    for (uint32_t i = 0; i < all->n; i++)
        seenings_put(needs->seen, of->group,
                     flat_binary(b, FLAT_AND, of->when,
                                 flat_not(b, stands(needs, &all->at[i]))),
                     &all->without[i]);
}

/* "Not at rest" says nothing that a position does not say better. */
static bool is_said(const struct stopmap_need *kept, uint32_t n,
                    const struct stopmap_need *need)
{
    for (uint32_t i = 0; need->other && i < n; i++)
        if (!kept[i].sensor && kept[i].of == need->of)
            return true;
    return false;
}

static void keep_needs(const struct stopneeds *needs, struct stopmap_cell *cell,
                       const struct candidates *all)
{
    struct stopmap_need *kept =
        arena_array(arena_of(needs), (size_t)all->n + 1, sizeof *kept);

    for (uint32_t i = 0; i < all->n; i++) {
        cell->needs_open |= all->without[i] == CHART_NOT_KNOWN;
        if (all->without[i] == CHART_NEVER &&
            !is_said(kept, cell->n_needs, &all->at[i]))
            kept[cell->n_needs++] = all->at[i];
    }
    cell->needs = kept;
}

/* ---- one hand of several ---- */

/* A control that somebody moves, not one that is set once. */
static bool is_hand(const struct model *model, uint32_t row)
{
    const struct choice *choice = &model->choices[row];

    if (choice->kind != CHOICE_OPERATOR || choice->count < 2)
        return false;
    switch (model->controls[choice->of].kind) {
    case SIGNAL_BUTTON: case SIGNAL_SELECTOR: case SIGNAL_NUMBER: return true;
    default: return false;
    }
}

/* Controls of one cell: those in `left` are enough to be looked at; those
 * before `next` were looked at and cannot be left out. */
struct hands {
    uint32_t *left;
    uint32_t n, next;
    enum chart_state *without; /* [i]: can it be on, the controls from next to
                                  next + i left out, no other one off its
                                  rest? */
    bool over;
};

static bool needs_a_hand(const struct model *model,
                         const struct stopmap_cell *cell)
{
    for (uint32_t i = 0; i < cell->n_needs; i++) {
        const struct stopmap_need *need = &cell->needs[i];

        if (!need->sensor && is_hand(model, need->of) &&
            (need->other ||
             need->value != model->choices[need->of].rest))
            return true;
    }
    return false;
}

static struct hands hands_of(const struct stopneeds *needs,
                             const struct stopneeds_of *of)
{
    const struct model *model = needs->map->model;
    size_t most = (size_t)model->n_choices + 2;
    struct hands hands = {
        .left = arena_array(arena_of(needs), most, sizeof *hands.left),
        .without = arena_array(arena_of(needs), most, sizeof *hands.without),
        .over = needs_a_hand(model, of->cell)};

    for (uint32_t i = 0; i < model->n_choices; i++)
        if (is_hand(model, i) && !is_own(needs, of->column, i))
            hands.left[hands.n++] = i;
    return hands;
}

/* On, and none of these off its rest but [from, to). */
static flat_expr without(const struct stopneeds *needs,
                         const struct stopneeds_of *of,
                         const struct hands *hands, uint32_t to)
{
    flat_expr all = of->when;

    for (uint32_t i = 0; i < hands->n; i++)
        if (i < hands->next || i >= to)
            all = flat_binary(
                builder(needs), FLAT_AND, all,
                choice_is(needs, hands->left[i],
                          needs->map->model->choices[hands->left[i]].rest));
    return all;
}

/* Leaving out none, the first, the first two, ... */
static void put_hands(const struct stopneeds *needs,
                      const struct stopneeds_of *of, struct hands *hands)
{
    for (uint32_t i = hands->next; i <= hands->n; i++)
        seenings_put(needs->seen, of->group, without(needs, of, hands, i),
                     &hands->without[i - hands->next]);
}

/* The longest row that can be left out is; the one behind it cannot be. */
static void leave_out(struct hands *hands, struct stopmap_cell *cell)
{
    uint32_t n = 0, rest = hands->n - hands->next;

    while (n <= rest && hands->without[n] == CHART_NEVER)
        n++;
    if (n <= rest && hands->without[n] == CHART_NOT_KNOWN) {
        cell->needs_open = true;
        hands->over = true;
        hands->n = 0;
        return;
    }
    if (n == 0) { /* it can be on with every hand off */
        hands->over = true;
        hands->n = 0;
        return;
    }
    memmove(&hands->left[hands->next], &hands->left[hands->next + n - 1],
            (rest - (n - 1)) * sizeof *hands->left);
    hands->n -= n - 1;
    hands->next++;
    hands->over = hands->next >= hands->n;
}

/* Every round leaves one more that cannot be left out. */
static bool ask_round(struct stopneeds *needs, struct hands *hands)
{
    bool more = false;

    for (size_t i = 0; i < needs->of.n; i++)
        if (!hands[i].over)
            put_hands(needs, &needs->of.at[i], &hands[i]);
    seenings_ask(needs->seen, NULL);
    for (size_t i = 0; i < needs->of.n; i++)
        if (!hands[i].over) {
            leave_out(&hands[i], needs->of.at[i].cell);
            more |= !hands[i].over;
        }
    return more;
}

static void ask_hands(struct stopneeds *needs)
{
    struct hands *hands = arena_array(arena_of(needs), needs->of.n + 1,
                                      sizeof *hands);

    for (size_t i = 0; i < needs->of.n; i++)
        hands[i] = hands_of(needs, &needs->of.at[i]);
    while (ask_round(needs, hands))
        continue;
    for (size_t i = 0; i < needs->of.n; i++)
        if (!needs_a_hand(needs->map->model, needs->of.at[i].cell)) {
            needs->of.at[i].cell->hands = hands[i].left;
            needs->of.at[i].cell->n_hands = hands[i].n;
        }
}

void stopneeds_ask(struct stopneeds *needs)
{
    struct candidates *all = arena_array(arena_of(needs), needs->of.n + 1,
                                         sizeof *all);

    for (size_t i = 0; i < needs->of.n; i++) {
        all[i] = candidates_of(needs, &needs->of.at[i]);
        put_candidates(needs, &needs->of.at[i], &all[i]);
    }
    seenings_ask(needs->seen, NULL);
    for (size_t i = 0; i < needs->of.n; i++)
        keep_needs(needs, needs->of.at[i].cell, &all[i]);
    ask_hands(needs);
    vec_release(&needs->of);
}
