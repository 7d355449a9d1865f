#include "study/handhint.h"

#include "base/arena.h"
#include "check/model.h"

/* How movements are waited for. */
enum waits {
    WAITS_LAST, /* after a change for the last one before the next change */
    WAITS_EACH, /* after a change for each of them, one after the other */
    WAITS_APART,/* each in a step of its own */
    WAITS
};

/* How a hint becomes steps.  An engine lets go as soon as it can. */
struct manner {
    int waits;
    bool holds;  /* what is let go at the end is held instead */
    bool settles;/* what is no button comes first, once for all */
};

/* A hint while it is followed. */
struct hint {
    struct handsearch *search;
    const struct model *model;
    const uint32_t *rows; /* scan by scan */
    uint32_t n_scans;
    uint32_t goal;        /* the obligation */
    struct manner manner;
    VEC(struct hand_act) acts;
};

static uint32_t at(const struct hint *h, uint32_t scan, uint32_t row)
{
    return h->rows[(size_t)scan * h->model->n_choices + row];
}

/* ---- what it does ---- */

static bool is_button(const struct hint *h, uint32_t control)
{
    return h->model->controls[control].kind == SIGNAL_BUTTON;
}

/* Two buttons are pressed together, and else one thing is done after the
 * other: first what stays, such as a key, and then what is pressed. */
static void add_changes(struct hint *h, const struct hand_change *changes,
                        uint32_t n)
{
    struct hand_act act = {.seconds = HAND_USUAL_S, .machine = MODEL_NONE};
    struct hand_act pair = act;

    for (uint32_t i = 0; i < n; i++)
        if (is_button(h, changes[i].control) && pair.n_changes < 2)
            pair.changes[pair.n_changes++] = changes[i];
    act.n_changes = 1;
    for (uint32_t i = 0; i < n; i++) {
        act.changes[0] = changes[i];
        if (!is_button(h, changes[i].control))
            vec_push(&h->acts, act);
    }
    if (pair.n_changes > 0)
        vec_push(&h->acts, pair);
}

static uint32_t position(const struct hint *h, uint32_t control,
                         uint32_t scan)
{
    return at(h, scan, h->model->controls[control].choice);
}

static uint32_t rest_of(const struct hint *h, uint32_t control)
{
    return h->model->choices[h->model->controls[control].choice].rest;
}

/* From this scan on hands only let go. */
static uint32_t last_release(const struct hint *h)
{
    uint32_t scan = h->n_scans;

    for (; scan > 1; scan--)
        for (uint32_t i = 0; i < h->model->n_controls; i++) {
            uint32_t is = position(h, i, scan - 1);

            if (is != position(h, i, scan - 2) && is != rest_of(h, i) &&
                (!h->manner.settles || is_button(h, i)))
                return scan;
        }
    return scan;
}

/* Hands that are elsewhere than before. */
static void read_hands(struct hint *h, uint32_t scan)
{
    const struct model *model = h->model;
    struct hand_change *changes = arena_array(h->search->arena,
                                              model->n_controls + 1,
                                              sizeof *changes);
    uint32_t n = 0;

    if (h->manner.holds && scan >= last_release(h))
        return;
    for (uint32_t i = 0; i < model->n_controls; i++) {
        uint32_t was = scan == 0 ? rest_of(h, i) : position(h, i, scan - 1);
        uint32_t is = position(h, i, scan);

        if (is != was && (!h->manner.settles || is_button(h, i)))
            changes[n++] = (struct hand_change){i, was, is};
    }
    add_changes(h, changes, n);
}

/* What is no button goes to where it is at the end. */
static void settle(struct hint *h)
{
    struct hand_act act = {.n_changes = 1, .seconds = HAND_USUAL_S,
                           .machine = MODEL_NONE};

    for (uint32_t i = 0; i < h->model->n_controls; i++) {
        uint32_t is = position(h, i, h->n_scans - 1);

        act.changes[0] = (struct hand_change){i, rest_of(h, i), is};
        if (!is_button(h, i) && is != rest_of(h, i))
            vec_push(&h->acts, act);
    }
}

static uint32_t machine_of(const struct hint *h, uint32_t slot)
{
    const struct handlogic *logic = h->search->logic;

    for (uint32_t i = 0; i < logic->n_machine; i++)
        if (h->model->movements[logic->movement[i]].slot == slot)
            return i;
    return MODEL_NONE;
}

static void add_arrival(struct hint *h, struct hand_act act)
{
    struct hand_act *last = h->acts.n > 0 ? &h->acts.at[h->acts.n - 1] : NULL;
    bool waits = last != NULL && last->seconds == 0;

    if (last == NULL || h->manner.waits == WAITS_APART ||
        (waits && h->manner.waits == WAITS_EACH &&
         last->machine != act.machine)) {
        vec_push(&h->acts, act);
        return;
    }
    last->seconds = 0;
    last->machine = act.machine;
    last->seen = act.seen;
}

/* Movements in a scan are waited for. */
static void read_movements(struct hint *h, uint32_t scan)
{
    for (uint32_t i = 0; i < h->model->n_movements; i++) {
        const struct movement *movement = &h->model->movements[i];
        const struct hand_act act = {
            .machine = machine_of(h, movement->slot), .seen = movement->to};

        if (at(h, scan, movement->choice) == movement->number &&
            act.machine != MODEL_NONE)
            add_arrival(h, act);
    }
}

static void read_acts(struct hint *h)
{
    vec_clear(&h->acts);
    if (h->manner.settles)
        settle(h);
    for (uint32_t scan = 0; scan < h->n_scans; scan++) {
        if (h->search->moving && scan > 0)
            read_movements(h, scan);
        read_hands(h, scan);
    }
}

/* ---- where it may begin ---- */

/* Where a variable is before a scan; false: it cannot be said, or it cannot
 * begin there. */
static bool place_before(const struct hint *h, uint32_t machine,
                         uint32_t scan, int64_t *value)
{
    const struct handlogic *logic = h->search->logic;
    uint32_t slot = h->model->movements[logic->movement[machine]].slot;
    uint32_t start = h->model->slots[slot].start;

    *value = start == MODEL_NONE
                 ? h->model->slots[slot].initial
                 : h->model->choices[start].values[at(h, 0, start)];
    for (uint32_t k = 1; k < scan; k++)
        for (uint32_t i = 0; i < h->model->n_movements; i++) {
            const struct movement *movement = &h->model->movements[i];

            if (movement->slot == slot && movement->from == *value &&
                at(h, k, movement->choice) == movement->number) {
                *value = movement->to;
                break;
            }
        }
    return logic->machine[machine].cell != FLAT_NONE &&
           handlogic_begins(logic, machine, *value);
}

/* The node of a beginning with the whole machine where it is before a
 * scan. */
static uint32_t begin_before(struct hint *h, uint32_t scan)
{
    struct handsearch *s = h->search;
    uint32_t n = s->logic->n_machine;
    bool *given = arena_array(s->arena, n + 1, sizeof *given);
    int64_t *value = arena_array(s->arena, n + 1, sizeof *value);
    struct hand_where *where = ARENA_NEW(s->arena, struct hand_where);

    *where = (struct hand_where){0, given, value};
    for (uint32_t i = 0; i < n; i++) {
        given[i] = place_before(h, i, scan, &value[i]);
        where->n_given += given[i];
    }
    return handsearch_begin(s, handsearch_rest(s, where));
}

/* Is a variable there when it begins or, where it stays where it is, at any
 * time? */
static bool is_visited(const struct hint *h, uint32_t machine, int64_t at)
{
    uint32_t last = h->search->moving ? 1 : h->n_scans;
    int64_t value;

    for (uint32_t scan = 1; scan <= last; scan++)
        if (place_before(h, machine, scan, &value) && value == at)
            return true;
    return false;
}

static bool fits(const struct hint *h, const struct hand_node *node)
{
    const struct hand_where *where = node->stand.where;

    if (node->parent != MODEL_NONE || where->n_given > 1)
        return false;
    for (uint32_t i = 0; i < h->search->logic->n_machine; i++)
        if (where->given[i] && !is_visited(h, i, where->at[i]))
            return false;
    return true;
}

/* ---- trying ---- */

/* A change that leads nowhere ends it; what is waited for in vain is left
 * out. */
static void follow(struct hint *h, uint32_t node)
{
    for (size_t i = 0; i < h->acts.n; i++) {
        uint32_t to = handsearch_follow(h->search, node, &h->acts.at[i]);

        if (to != MODEL_NONE)
            node = to;
        else if (h->acts.at[i].n_changes > 0)
            return;
    }
}

static bool is_found(const struct hint *h)
{
    return h->search->first[h->goal] != MODEL_NONE;
}

/* With as little as possible known of where the machine stands. */
static void try_acts(struct hint *h)
{
    uint32_t n = (uint32_t)h->search->nodes.n;
    uint32_t last = h->search->moving ? 1 : h->n_scans;

    read_acts(h);
    for (uint32_t i = 0; i < n && !is_found(h); i++)
        if (fits(h, &h->search->nodes.at[i]))
            follow(h, i);
    for (uint32_t scan = last; scan > 0 && !is_found(h); scan--) {
        uint32_t node = begin_before(h, scan);

        if (node != MODEL_NONE)
            follow(h, node);
    }
}

static void try_one(struct hint *h)
{
    int waits = h->search->moving ? WAITS : 1;

    for (int i = 0; i < 4 * waits && !is_found(h); i++) {
        h->manner = (struct manner){i % waits, i / waits % 2 == 1,
                                    i / waits / 2 == 1};
        try_acts(h);
    }
}

void handhint_try(struct handsearch *search, uint32_t from, uint32_t to)
{
    struct hint h = {.search = search, .model = search->logic->model};

    for (uint32_t i = from; i < to; i++) {
        const struct obligation *what = &search->obligations->at[i];

        if (!search->pending[i] || search->first[i] != MODEL_NONE ||
            what->hint == NULL || search->tried >= search->most_tried ||
            steer_end(search->steer) != EXPLORE_COMPLETE)
            continue;
        h.rows = what->hint;
        h.n_scans = what->n_hint;
        h.goal = i;
        try_one(&h);
    }
    vec_release(&h.acts);
}
