#include "engine/tiles/lane.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "engine/tiles/bits.h"
#include "engine/tiles/marks.h"

enum { MOST_ENTRY = SECTION_MOST_WORDS + BITS_MOST_WORDS };

static void cut(struct lane *l, struct arena *arena,
                const struct lane_plan *plan)
{
    struct scan_form *form = outline_new(arena, plan->slice, plan->first,
                                         plan->bits, plan->fixed);

    if (plan->kind != COURSE_WHOLE)
        find_marks(arena, form);
    l->form = form;
    l->course = course_new(arena, l->form, plan->kind);
    l->places = places_new(arena, l->form, l->course, plan->rest);
}

bool lane_init(struct lane *l, struct arena *arena,
               const struct lane_plan *plan, struct budget *budget)
{
    uint32_t set_words = bits_words(plan->bits->n);
    bool room = true;

    memset(l, 0, sizeof *l);
    l->rest = plan->rest;
    if (plan->like) {
        l->form = plan->like->form;
        l->course = plan->like->course;
        l->places = plan->like->places;
    } else {
        cut(l, arena, plan);
    }
    l->stride = l->places->n_words + set_words;
    ENSURE(l->stride <= MOST_ENTRY);
    l->sections =
        arena_array(arena, l->course->n_parts, sizeof *l->sections);
    l->watches =
        arena_array(arena, l->course->n_watches, sizeof *l->watches);
    l->looks = arena_array(arena, l->course->n_parts, sizeof *l->looks);
    l->unseen = arena_array(arena, l->course->n_watches, sizeof *l->unseen);
    l->stages = arena_array(arena, (size_t)l->course->n_parts + 1,
                            sizeof *l->stages);
    for (uint32_t i = 0; i <= l->course->n_parts; i++) {
        struct section_place place = {l->form, l->places, l->rest,
                                      &l->course->parts[i]};

        room &= stage_init(&l->stages[i], budget, l->places->n_words,
                           set_words);
        if (i < l->course->n_parts)
            section_init(&l->sections[i], arena, &place, budget);
        /* whole situations do not come again */
        if (i < l->course->n_parts && plan->kind == COURSE_WHOLE)
            l->sections[i].memo.given_up =
                place.part->kind == PART_VALUES;
    }
    for (uint32_t i = 0; i < l->course->n_watches; i++) {
        struct section_place place = {l->form, l->places, l->rest,
                                      &l->course->watches[i]};

        l->unseen[i] = true;
        l->looks[l->course->watches[i].at] = true;
        section_init(&l->watches[i], arena, &place, budget);
    }
    return room;
}

void lane_release(struct lane *l)
{
    if (!l->course)
        return;
    for (uint32_t i = 0; i <= l->course->n_parts; i++)
        stage_release(&l->stages[i]);
    for (uint32_t i = 0; i < l->course->n_parts; i++)
        section_release(&l->sections[i]);
    for (uint32_t i = 0; i < l->course->n_watches; i++)
        section_release(&l->watches[i]);
}

static void connect(struct section *s, const struct lane_sink *sink)
{
    s->goes_on = sink->goes_on;
    s->context = sink->context;
}

void lane_connect(struct lane *l, const struct lane_sink *sink)
{
    l->sink = *sink;
    for (uint32_t i = 0; i < l->course->n_parts; i++)
        connect(&l->sections[i], sink);
    for (uint32_t i = 0; i < l->course->n_watches; i++)
        connect(&l->watches[i], sink);
}

/* ---- one outcome ---- */

/* The combinations of an entry that an outcome selects; false: none. */
static bool select_set(const struct section *s, const uint64_t *set,
                       const uint64_t *outcome, uint64_t *to)
{
    const uint64_t *selects = outcome + 1 + s->n_words;
    uint64_t any = s->set_words == 0;

    for (uint32_t i = 0; i < s->set_words; i++)
        any |= to[i] = set[i] & selects[i];
    return any != 0;
}

static void store_set(const struct section *s, const uint64_t *outcome,
                      uint64_t *set)
{
    const uint64_t *stores = outcome + 1 + s->n_words + s->set_words;

    for (uint32_t bits = s->freed; bits; bits &= bits - 1)
        bits_free(s->form->bits->n, set, (uint32_t)__builtin_ctz(bits));
    for (uint32_t i = 0; i < s->set_words; i++)
        set[i] &= stores[i];
}

static bool flush(struct lane *l, uint32_t at);

/* A full stage is worked off first; those behind it have fewer ways ahead, so
 * this goes no deeper than there are sections. */
static bool pass_on(struct lane *l, uint32_t to, const uint64_t *entry)
{
    if (stage_add(&l->stages[to], entry))
        return true;
    return flush(l, to) && stage_add(&l->stages[to], entry);
}

static bool take(struct lane *l, const struct section *s,
                 const uint64_t *entry, const uint64_t *outcome)
{
    uint64_t made[MOST_ENTRY], *set = made + s->n_words;
    enum outcome_kind kind = OUTCOME_KIND(outcome[0]);

    if (!select_set(s, entry + s->n_words, outcome, set))
        return true;
    if (OUTCOME_REDUCED(outcome[0]))
        l->sink.reduced(l->sink.context);
    if (kind != OUTCOME_ON)
        return l->sink.seen(l->sink.context, kind,
                            OUTCOME_NUMBER(outcome[0]));
    store_set(s, outcome, set);
    for (uint32_t i = 0; i < s->n_words; i++)
        made[i] = (entry[i] & ~s->touch[i]) | outcome[1 + i];
    return pass_on(l, s->part->at + 1, made);
}

/* ---- sections ---- */

/* False: the section was left, and the lane is too. */
static bool is_done(struct lane *l, const struct section *s)
{
    if (s->left == SECTION_FULL)
        l->sink.full(l->sink.context);
    return s->left == SECTION_DONE;
}

static bool look_at_watch(struct lane *l, uint32_t watch,
                          const uint64_t *entry)
{
    struct section *s = &l->watches[watch];
    struct outcomes all = section_work(s, entry);
    uint64_t set[BITS_MOST_WORDS];

    for (uint64_t i = 0; i < all.n && l->unseen[watch]; i++)
        if (select_set(s, entry + s->n_words, all.at + i * s->stride, set)) {
            l->unseen[watch] = false;
            if (!l->sink.seen(l->sink.context, OUTCOME_SEEN, watch))
                return false;
        }
    return is_done(l, s);
}

static bool look_at_watches(struct lane *l, uint32_t at,
                            const uint64_t *entry)
{
    for (uint32_t w = 0; w < l->course->n_watches; w++)
        if (l->unseen[w] && l->course->watches[w].at == at &&
            !look_at_watch(l, w, entry))
            return false;
    return true;
}

static bool work(struct lane *l, uint32_t at, const uint64_t *entry)
{
    struct section *s = &l->sections[at];
    struct outcomes all = section_work(s, entry);

    for (uint64_t i = 0; i < all.n; i++)
        if (!take(l, s, entry, all.at + i * s->stride))
            return false;
    return is_done(l, s);
}

enum { LOOK_EVERY = 1 << 4 };

static bool work_entry(struct lane *l, uint32_t at, const uint64_t *entry)
{
    if (++l->worked % LOOK_EVERY == 0 && !l->sink.goes_on(l->sink.context))
        return false;
    if (l->looks[at] && !look_at_watches(l, at, entry))
        return false;
    return work(l, at, entry);
}

/* Works off what waits before a part; behind the last part situations are
 * handed over. */
static bool flush(struct lane *l, uint32_t at)
{
    struct stage *stage = &l->stages[at];
    uint32_t n = stage->n;
    bool last = at == l->course->n_parts;

    for (uint32_t i = 0; i < n && !last; i++)
        if (!work_entry(l, at, stage_at(stage, i)))
            return false;
    if (last && n &&
        !l->sink.situations(l->sink.context, stage_at(stage, 0), n,
                            l->stride))
        return false;
    stage_clear(stage);
    return true;
}

bool lane_finish(struct lane *l)
{
    for (uint32_t at = 0; at <= l->course->n_parts; at++)
        if (!flush(l, at))
            return false;
    return true;
}

bool lane_begin(struct lane *l, const uint64_t *entry)
{
    uint64_t made[MOST_ENTRY] = {0};
    const struct slice *slice = l->form->slice;
    uint32_t n_words = l->places->n_words;

    for (uint32_t c = 0; !l->form->first && c < slice->n_cells; c++) {
        if (l->places->last[outline_cell_item(l->form, c)] == FLAT_NONE)
            continue;
        pack_put(&l->places->old[c], made,
                 pack_get(&l->rest->cells[c], entry));
    }
    memcpy(made + n_words, entry + l->rest->n_words,
           (l->stride - n_words) * sizeof *made);
    return pass_on(l, 0, made);
}
