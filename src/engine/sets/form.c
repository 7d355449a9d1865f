#include "engine/sets/form.h"

#include "base/arena.h"
#include "base/vec.h"
#include "engine/concrete/plan.h"
#include "engine/sets/guard.h"
#include "engine/sets/scheme.h"
#include "logic/slice.h"

struct draft {
    struct workshop *shop;
    const struct blast_form *what;
    const struct blast *blast;
    struct form *form;
    VEC(set) parts;
    size_t base; /* parts that every question has */
};

static set negation(const struct draft *d, set a)
{
    return room_apply(d->shop->room, ROOM_XOR, a, SET_ALL);
}

bool *form_variables(struct arena *arena, const struct scheme *scheme,
                     bool after)
{
    bool *which = arena_array(arena, scheme->n_variables, sizeof *which);

    for (uint32_t i = 0; i < scheme->n_cells; i++)
        for (uint32_t k = 0; k < scheme->cells[i].n; k++)
            which[scheme->cells[i].variable[k] + after] = true;
    return which;
}

struct workshop form_narrowed(const struct workshop *shop,
                              bool (*open)(const void *context, uint32_t row),
                              const void *context)
{
    struct workshop made = *shop;
    uint32_t *group = arena_array(shop->scratch, shop->n_variables,
                                  sizeof *group);

    for (uint32_t v = 0; v < shop->n_variables; v++) {
        uint32_t row = shop->group[v];

        group[v] = row != UINT32_MAX && open(context, row) ? row : UINT32_MAX;
    }
    made.group = group;
    return made;
}

/* ---- what every question has ---- */

static void push_base(struct draft *d)
{
    const struct slice *s = d->what->slice;

    for (uint32_t i = 0; i < s->n_assumptions; i++)
        vec_push(&d->parts, d->blast->assumptions[i]);
    d->base = d->parts.n;
}

static void push_not_ended(struct draft *d, uint32_t before)
{
    for (uint32_t i = 0; i < before; i++)
        vec_push(&d->parts, negation(d, d->blast->ends[i]));
}

static const struct relation *relation(struct draft *d)
{
    return relation_new(d->shop, d->parts.at, (uint32_t)d->parts.n);
}

/* Situations from which the parts, and `more`, can hold. */
static const struct chain *question(struct draft *d, set more)
{
    const struct chain *made = NULL;

    if (more != SET_NONE) {
        vec_push(&d->parts, more);
        made = relation_chain(d->shop, relation(d), NULL);
    }
    d->parts.n = d->base;
    return made;
}

/* ---- the questions ---- */

static void push_step(struct draft *d)
{
    const struct slice *s = d->what->slice;
    const struct scheme *scheme = d->what->scheme;
    struct room *room = d->shop->room;

    push_not_ended(d, s->n_ends);
    for (uint32_t i = 0; i < s->n_cells; i++)
        for (uint32_t k = 0; k < scheme->cells[i].n; k++) {
            set after =
                room_variable(room, scheme->cells[i].variable[k] + 1);

            vec_push(&d->parts, room_apply(room, ROOM_SAME, after,
                                           d->blast->cells[i][k]));
        }
}

static void make_step(struct draft *d)
{
    const struct scheme *scheme = d->what->scheme;

    push_step(d);
    d->form->step = relation(d);
    d->form->image =
        relation_chain(d->shop, d->form->step,
                       form_variables(d->shop->scratch, scheme, false));
    d->parts.n = d->base;
}

static void make_watches(struct draft *d)
{
    const struct slice *s = d->what->slice;

    d->form->watches = arena_array(d->shop->arena, s->n_watches,
                                   sizeof *d->form->watches);
    for (uint32_t i = 0; i < s->n_watches; i++) {
        push_not_ended(d, s->n_ends);
        d->form->watches[i] = question(d, d->blast->watches[i]);
    }
}

static void make_ends(struct draft *d)
{
    const struct slice *s = d->what->slice;

    d->form->ends =
        arena_array(d->shop->arena, s->n_ends, sizeof *d->form->ends);
    for (uint32_t i = 0; i < s->n_ends; i++) {
        push_not_ended(d, i);
        d->form->ends[i] = question(d, d->blast->ends[i]);
    }
}

static void make_misfit(struct draft *d)
{
    const struct slice *s = d->what->slice;
    set misfit = SET_NONE;

    for (uint32_t i = 0; i < s->n_cells; i++)
        misfit = room_apply(d->shop->room, ROOM_OR, misfit,
                            negation(d, d->blast->fits[i]));
    push_not_ended(d, s->n_ends);
    d->form->misfit = question(d, misfit);
}

/* ---- dead ends ---- */

static bool is_input(const void *context, uint32_t row)
{
    const struct slice *slice = context;

    return plan_is_input(slice->choices[row].kind);
}

static bool is_no_input(const void *context, uint32_t row)
{
    return !is_input(context, row);
}

/* What is left of the assumptions once some input is chosen are conditions
 * on the rest; where one of them fails, there is a dead end. */
static void make_dead(struct draft *d)
{
    const struct slice *s = d->what->slice;
    struct workshop inputs = form_narrowed(d->shop, is_input, s);
    struct workshop others = form_narrowed(d->shop, is_no_input, s);
    const struct relation *some;

    inputs.whole = true;
    some = relation_new(&inputs, d->parts.at, (uint32_t)d->base);
    d->form->dead =
        arena_array(d->shop->arena, some->n, sizeof *d->form->dead);
    for (uint32_t i = 0; i < some->n && guard_passes(d->shop->guard); i++) {
        set fails = negation(d, some->parts[i]);
        const struct relation *none = relation_new(&others, &fails, 1);

        d->form->dead[d->form->n_dead++] =
            relation_chain(&others, none, NULL);
    }
}

const struct form *form_new(struct workshop *shop,
                            const struct blast_form *what)
{
    struct form *made = ARENA_NEW(shop->arena, struct form);
    struct draft d = {.shop = shop, .what = what, .form = made};

    d.blast = blast_new(shop->arena, shop->room, shop->guard, what);
    if (!guard_passes(shop->guard))
        return made;
    push_base(&d);
    make_step(&d);
    make_watches(&d);
    make_ends(&d);
    make_misfit(&d);
    make_dead(&d);
    vec_release(&d.parts);
    return made;
}

static void push_where(struct draft *d, const struct form_where *where)
{
    const uint32_t fails[] = {where->fails, where->fails_too};

    if (where->holds != FLAT_NONE)
        vec_push(&d->parts, d->blast->watches[where->holds]);
    for (uint32_t i = 0; i < 2; i++)
        if (fails[i] != FLAT_NONE)
            vec_push(&d->parts, negation(d, d->blast->watches[fails[i]]));
}

const struct relation *form_step(struct workshop *shop,
                                 const struct blast_form *what,
                                 const struct form_where *where)
{
    struct draft d = {.shop = shop, .what = what};
    const struct relation *made;

    d.blast = blast_new(shop->arena, shop->room, shop->guard, what);
    if (guard_passes(shop->guard)) {
        push_base(&d);
        push_step(&d);
        push_where(&d, where);
    }
    made = relation(&d);
    vec_release(&d.parts);
    return made;
}

const struct relation *form_ended(struct workshop *shop,
                                  const struct blast_form *what)
{
    struct draft d = {.shop = shop, .what = what};
    const struct relation *made;
    set any = SET_NONE;

    d.blast = blast_new(shop->arena, shop->room, shop->guard, what);
    if (guard_passes(shop->guard)) {
        push_base(&d);
        for (uint32_t i = 0; i < what->slice->n_ends; i++)
            any = room_apply(shop->room, ROOM_OR, any, d.blast->ends[i]);
        vec_push(&d.parts, any);
    }
    made = relation(&d);
    vec_release(&d.parts);
    return made;
}
