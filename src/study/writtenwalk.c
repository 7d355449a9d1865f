#include "study/writtenwalk.h"

#include <string.h>

#include "base/arena.h"

void written_set(struct written_walk *w, uint32_t slot,
                 const struct written *value)
{
    vec_push(&w->log, ((struct written_change){slot, w->now[slot]}));
    w->now[slot] = value;
}

/* What it is where nothing was written. */
static const struct written *untouched(struct written_walk *w, uint32_t slot)
{
    const struct slot *what;

    if (slot >= w->model->n_slots)
        return written_const(w->arena, 0, w->truth);
    what = &w->model->slots[slot];
    if (what->home == SLOT_FUNCTION)
        return written_const(w->arena, what->initial, what->type);
    switch (what->driver) { /* sampled anew before anything is written */
    case DRIVER_CONTACT:
        return written_leaf(w->arena, WRITTEN_CONTACT, what->driver_index,
                            what->type);
    case DRIVER_SENSOR:
        return written_leaf(w->arena, WRITTEN_SENSOR, what->driver_index,
                            what->type);
    case DRIVER_CHOICE:
        return written_leaf(w->arena, WRITTEN_GIVEN, slot, what->type);
    default:
        return written_leaf(w->arena, WRITTEN_BEFORE, slot, what->type);
    }
}

const struct written *written_reached(struct written_walk *w, uint32_t slot)
{
    return w->now[slot] != NULL ? w->now[slot] : untouched(w, slot);
}

const struct written *written_now(struct written_walk *w, uint32_t slot)
{
    const struct slot *what = &w->model->slots[slot];
    bool last = !w->counting && w->done[slot] == w->total[slot];

    if (what->home == SLOT_FUNCTION) /* always of the call at hand */
        return written_reached(w, slot);
    if (what->driver == DRIVER_CONTACT && w->total[slot] == 0)
        return written_made(w->arena, (struct written){
            .op = WRITTEN_CONTACT, .index = what->driver_index,
            .value = (int64_t)slot + 1, .type = what->type});
    if (what->driver == DRIVER_SENSOR && w->total[slot] == 0)
        return written_leaf(w->arena, WRITTEN_SENSOR, what->driver_index,
                            what->type);
    if (w->early &&
        (what->home == SLOT_ACTUATOR || what->home == SLOT_WIRING_OUT))
        return written_leaf(w->arena, WRITTEN_BEFORE, slot, what->type);
    if (w->now[slot] != NULL && w->now[slot]->op == WRITTEN_CONST)
        return w->now[slot];
    if (last && !what->temp)
        return written_leaf(w->arena, WRITTEN_NOW, slot, what->type);
    return written_reached(w, slot);
}

/* ---- assignments ---- */

static void add_place(struct written_slot *kept, struct span span)
{
    for (uint32_t i = 0; i < kept->n_places; i++)
        if (kept->places[i].file == span.file &&
            kept->places[i].from == span.from)
            return;
    if (kept->n_places == WRITTEN_PLACES)
        memmove(kept->places, kept->places + 1,
                (WRITTEN_PLACES - 1) * sizeof *kept->places);
    else
        kept->n_places++;
    kept->places[kept->n_places - 1] = span;
}

void written_assign(struct written_walk *w, uint32_t slot,
                    const struct written *value, const struct span *span)
{
    const struct written *was = written_reached(w, slot);

    if (w->vague != NULL)
        value = written_reckoned(w->arena, value, was, w->vague);
    if (w->counting)
        w->total[slot]++;
    else
        w->done[slot]++;
    if (value == was)
        return;
    written_set(w, slot, value);
    if (span != NULL && !w->counting)
        add_place(&w->slots[slot], *span);
}

/* ---- what is left ---- */

uint32_t written_flag(struct written_walk *w)
{
    uint32_t slot = w->model->n_slots + w->flags;

    if (w->flags + 1 < WRITTEN_FLAGS)
        w->flags++;
    w->now[slot] = NULL;
    return slot;
}

void written_flags_end(struct written_walk *w, uint32_t flags)
{
    w->flags = flags;
}

const struct written *written_live(struct written_walk *w)
{
    const struct written *left = written_const(w->arena, 0, w->truth);

    for (uint32_t i = 0; i < w->flags; i++)
        left = written_pair(w->arena, WRITTEN_OR, left,
                            written_reached(w, w->model->n_slots + i),
                            w->truth);
    return written_not(w->arena, left);
}

/* ---- branches ---- */

struct written_changes written_since(struct written_walk *w, size_t mark,
                                     bool back)
{
    struct written_changes found = {
        arena_array(w->arena, w->log.n - mark + 1, sizeof *found.at), 0};

    w->round++;
    for (size_t i = mark; i < w->log.n; i++) {
        struct written_change change = w->log.at[i];

        if (w->seen[change.slot] == w->round)
            continue;
        w->seen[change.slot] = w->round;
        found.at[found.n++] = (struct written_change){
            change.slot, back ? w->now[change.slot] : change.value};
    }
    for (size_t i = w->log.n; back && i > mark; i--)
        w->now[w->log.at[i - 1].slot] = w->log.at[i - 1].value;
    if (back)
        w->log.n = mark;
    return found;
}

void written_merge(struct written_walk *w, const struct written *condition,
                   uint32_t slot, const struct written *yes,
                   const struct written *no)
{
    if (yes != no)
        written_set(w, slot,
                    written_if(w->arena, condition,
                               yes != NULL ? yes : untouched(w, slot),
                               no != NULL ? no : untouched(w, slot)));
}
