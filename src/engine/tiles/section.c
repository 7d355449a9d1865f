#include "engine/tiles/section.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "engine/concrete/eval.h"
#include "engine/concrete/fork.h"
#include "engine/concrete/plan.h"
#include "engine/tiles/bits.h"
#include "engine/tiles/keys.h"
#include "engine/tiles/straight.h"

/* Up to so many combinations of choices are all worked out. */
enum { MOST_COMBINATIONS = 16 };

enum {
    OUTCOMES_PER_LOOK = 1 << 6,
    MORE_PART = 16 /* of the limit of bytes: what outcomes may take beyond */
};

/* ---- making one ---- */

static flat_expr root_of(const struct section *s, uint32_t member)
{
    const struct scan_form *f = s->form;
    const struct slice *slice = f->slice;

    switch (s->part->kind) {
    case PART_ASSUMPTIONS:
        return outline_root(f, &slice->assumptions[member]);
    case PART_END:
        return outline_root(f, &slice->ends[member]);
    case PART_WATCH:
        return outline_root(f, &slice->watches[member]);
    default:
        return member < slice->n_cells
                   ? outline_next(f, member)
                   : f->mark[member - slice->n_cells];
    }
}

/* What the part works out, as a slice of its own.  It has but one form, and
 * watches are looked for as ends are. */
static const struct slice *own_slice(const struct section *s,
                                     struct arena *arena)
{
    const struct part *part = s->part;
    struct slice *own = ARENA_NEW(arena, struct slice);
    struct slice_root *roots = arena_array(arena, part->n, sizeof *roots);
    flat_expr *at = arena_array(arena, part->n, sizeof *at);

    for (uint32_t i = 0; i < part->n; i++)
        at[i] = root_of(s, part->member[i]);
    *own = outline_extract(arena, s->form, at, part->n, part->open);
    for (uint32_t i = 0; i < part->n; i++)
        roots[i] = (struct slice_root){i, at[i], at[i]};
    if (part->kind == PART_ASSUMPTIONS) {
        own->assumptions = roots;
        own->n_assumptions = part->n;
    } else if (part->kind == PART_VALUES) {
        own->values = roots;
        own->n_values = part->n;
    } else {
        own->ends = roots;
        own->n_ends = part->n;
    }
    return own;
}

static uint64_t mask_of(const struct pack_field *f)
{
    if (f->bits == 0)
        return 0;
    return (f->bits == 64 ? UINT64_MAX : ((uint64_t)1 << f->bits) - 1)
           << f->shift;
}

static void add_masks(struct section *s, uint32_t item,
                      const struct pack_field *at, bool brought)
{
    if (!brought)
        return;
    if (s->part->reads[item])
        s->key[at->word] |= mask_of(at);
    if (s->part->kind != PART_WATCH &&
        (s->places->last[item] == s->part->at ||
         (item < s->form->n_rows && s->part->reads[item])))
        s->touch[at->word] |= mask_of(at);
}

static void find_masks(struct section *s)
{
    const struct places *p = s->places;
    const struct scan_form *f = s->form;

    for (uint32_t r = 0; r < f->slice->n_choices; r++)
        add_masks(s, r, &p->rows[r], places_bring(p, r, s->part->at));
    for (uint32_t i = f->n_rows; i < f->n_items; i++)
        add_masks(s, i, &p->old[i - f->n_rows],
                  i < outline_mark_item(f, 0)
                      ? p->last[i] != FLAT_NONE && s->part->at <= p->last[i]
                      : places_bring(p, i, s->part->at));
}

static void list_reads(struct section *s, struct arena *arena)
{
    const struct scan_form *f = s->form;

    s->rows = arena_array(arena, f->slice->n_choices, sizeof *s->rows);
    s->cells = arena_array(arena, (size_t)f->n_items - f->n_rows,
                           sizeof *s->cells);
    for (uint32_t r = 0; r < f->slice->n_choices; r++)
        if (s->part->reads[r])
            s->rows[s->n_rows++] = r;
    for (uint32_t i = f->n_rows; i < f->n_items; i++)
        if (s->part->reads[i])
            s->cells[s->n_cells++] = i - f->n_rows;
}

static bool is_bit(const struct section *s, uint32_t member)
{
    return member < s->form->slice->n_cells &&
           s->form->bits->of[member] != FLAT_NONE;
}

static void find_freed(struct section *s)
{
    const struct part *p = s->part;

    for (uint32_t i = 0; p->kind == PART_VALUES && i < p->n; i++)
        if (is_bit(s, p->member[i]))
            s->freed |= (uint32_t)1 << s->form->bits->of[p->member[i]];
}

/* Without bitmaps: what is joined there is worth more. */
static void find_straight(struct section *s, struct arena *arena)
{
    uint64_t combinations = 1;

    if (s->part->kind != PART_VALUES || s->set_words > 0)
        return;
    for (uint32_t i = 0; i < s->n_rows; i++)
        if (combinations <= MOST_COMBINATIONS)
            combinations *= s->form->choices[s->rows[i]].count;
    if (combinations > MOST_COMBINATIONS)
        return;
    s->straight = straight_new(arena, s->plan);
    s->index_of = arena_array(arena, s->form->slice->n_choices,
                              sizeof *s->index_of);
    s->memo.cheap = true;
}

void section_init(struct section *s, struct arena *arena,
                  const struct section_place *place, struct budget *budget)
{
    const struct scan_form *f = place->form;
    size_t n_values = (size_t)f->slice->n_cells + f->n_marks;

    *s = (struct section){.form = f, .part = place->part,
                          .places = place->places, .rest = place->rest};
    s->n_words = place->places->n_words;
    s->set_words = bits_words(f->bits->n);
    s->stride = 1 + s->n_words + 2 * s->set_words;
    s->plan = plan_new(arena, own_slice(s, arena), false,
                       s->part->kind == PART_VALUES ? PLAN_VALUES
                                                    : PLAN_BARE);
    s->eval = eval_new(arena, s->plan);
    s->fork = fork_new(arena, s->eval);
    s->key = arena_array(arena, s->n_words, sizeof *s->key);
    s->touch = arena_array(arena, s->n_words, sizeof *s->touch);
    s->values = arena_array(arena, n_values, sizeof *s->values);
    find_masks(s);
    list_reads(s, arena);
    find_freed(s);
    recall_init(&s->memo, budget, s->n_words);
    find_straight(s, arena);
}

void section_release(struct section *s)
{
    recall_release(&s->memo);
    s->memo.budget->held -= s->room * sizeof *s->record +
                            s->n_index * sizeof *s->index;
    vec_free(s->record);
    vec_free(s->index);
}

/* ---- outcomes ---- */

static uint64_t *outcome_at(const struct section *s, uint64_t i)
{
    return s->record + s->n_words + 1 + i * s->stride;
}

/* So many bytes more are had even where others have taken all of the limit to
 * do their work faster; false: that is too much. */
static bool may_take(const struct section *s, uint64_t bytes)
{
    const struct budget *b = s->memo.budget;

    return b->most == 0 || b->held + bytes <= b->most + b->most / MORE_PART ||
           s->room == 0;
}

/* Room for one outcome more; false: no bytes are left. */
static bool have_room(struct section *s)
{
    uint64_t need = s->n_words + 1 + (s->n_outcomes + 1) * s->stride;
    size_t cap = s->room;

    if (need <= s->room)
        return true;
    if (!may_take(s, s->room * sizeof *s->record))
        return false;
    s->record = vec_grow(s->record, &cap, need, sizeof *s->record);
    s->memo.budget->held += (cap - s->room) * sizeof *s->record;
    s->room = cap;
    return true;
}

static void index_again(struct section *s)
{
    memset(s->index, 0, s->n_index * sizeof *s->index);
    for (uint64_t i = 0; i < s->n_outcomes; i++) {
        uint64_t at = keys_hash(outcome_at(s, i), s->n_words + 1);

        while (s->index[at &= s->n_index - 1])
            at++;
        s->index[at] = (uint32_t)i + 1;
    }
}

static bool have_index(struct section *s)
{
    size_t cap = 0;

    if ((s->n_outcomes + 1) * 2 <= s->n_index)
        return true;
    if (!may_take(s, s->n_index * sizeof *s->index))
        return false;
    s->memo.budget->held -= s->n_index * sizeof *s->index;
    s->n_index = s->n_index ? s->n_index * 2 : 64;
    s->memo.budget->held += s->n_index * sizeof *s->index;
    vec_free(s->index);
    s->index = vec_grow(NULL, &cap, s->n_index, sizeof *s->index);
    index_again(s);
    return true;
}

static bool same(const uint64_t *a, const uint64_t *b, uint32_t n)
{
    return memcmp(a, b, n * sizeof *a) == 0;
}

static void join(uint64_t *into, const uint64_t *from, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++)
        into[i] |= from[i];
}

/* Two outcomes are one if they differ in what they select or in what they
 * store alone. */
static bool merges(const struct section *s, uint64_t *a, const uint64_t *b)
{
    uint32_t n = s->set_words, selects = s->n_words + 1;
    uint32_t stores = selects + n;

    if (!same(a, b, selects))
        return false;
    if (same(a + selects, b + selects, n)) {
        join(a + stores, b + stores, n);
        return true;
    }
    if (!same(a + stores, b + stores, n))
        return false;
    join(a + selects, b + selects, n);
    return true;
}

/* Takes the outcome that was written behind the others. */
static void take_outcome(struct section *s)
{
    const uint64_t *made = outcome_at(s, s->n_outcomes);
    uint64_t at = keys_hash(made, s->n_words + 1);

    s->worked++;
    while (s->index[at &= s->n_index - 1]) {
        if (merges(s, outcome_at(s, s->index[at] - 1), made))
            return;
        at++;
    }
    ENSURE(s->n_outcomes < UINT32_MAX - 1);
    s->index[at] = (uint32_t)++s->n_outcomes;
}

/* ---- working them out ---- */

/* Room for one outcome more, whether it is looked for among the others or
 * not. */
static bool has_place(struct section *s)
{
    if (!have_room(s) || (!s->straight && !have_index(s)))
        s->left = SECTION_FULL;
    return s->left == SECTION_DONE;
}

/* A section may have millions of outcomes. */
static bool goes_on(struct section *s)
{
    if (++s->unlooked % OUTCOMES_PER_LOOK == 0 && s->goes_on &&
        !s->goes_on(s->context))
        s->left = SECTION_STOPPED;
    return s->left == SECTION_DONE;
}

static uint32_t code_before(const struct section *s, uint32_t row,
                            const uint64_t *words)
{
    if (!places_bring(s->places, row, s->part->at))
        return 0;
    return (uint32_t)pack_get(&s->places->rows[row], words);
}

static void load(struct section *s, const uint64_t *words)
{
    for (uint32_t i = 0; i < s->n_cells; i++)
        s->values[s->cells[i]] =
            pack_get(&s->places->old[s->cells[i]], words);
    eval_load(s->eval, s->values);
    for (uint32_t i = 0; i < s->n_rows; i++) {
        uint32_t code = code_before(s, s->rows[i], words);

        if (code)
            eval_decide(s->eval, s->rows[i], code - 1);
    }
    fork_begin(s->fork);
}

static void put_rows(const struct section *s, const uint64_t *words,
                     uint64_t *to)
{
    for (uint32_t i = 0; i < s->n_rows; i++) {
        uint32_t row = s->rows[i], code = s->fork->choice[row] + 1;

        if (!places_carry(s->places, row, s->part->at))
            continue;
        if (s->fork->choice[row] == FLAT_NONE)
            code = code_before(s, row, words);
        pack_put(&s->places->rows[row], to, code);
    }
}

static bool put_bit(const struct section *s, uint32_t cell, int64_t value,
                    uint64_t *stores)
{
    uint64_t unit = 0;
    bool fits = pack_put(&s->rest->cells[cell], &unit, value);

    bits_select(s->form->bits->n, stores, s->form->bits->of[cell],
                unit != 0);
    return fits;
}

/* False: a value did not fit its cell. */
static bool put_value(const struct section *s, uint32_t member,
                      int64_t value, uint64_t *to, uint64_t *stores)
{
    uint32_t n_cells = s->form->slice->n_cells;
    uint32_t mark = member - n_cells;

    if (is_bit(s, member))
        return put_bit(s, member, value, stores);
    if (member < n_cells)
        return pack_put(&s->rest->cells[member], to, value);
    if (places_carry(s->places, outline_mark_item(s->form, mark), s->part->at))
        ENSURE(pack_put(&s->places->old[member], to, value));
    return true;
}

static bool put_values(const struct section *s, uint64_t *to,
                       uint64_t *stores)
{
    bool fits = true;

    for (uint32_t i = 0; i < s->part->n; i++) {
        uint32_t node = s->plan->values.at[i];

        ENSURE(s->eval->known[node]);
        fits &= put_value(s, s->part->member[i], s->eval->value[node], to,
                          stores);
    }
    return fits;
}

static void put_selects(const struct section *s, uint64_t *selects)
{
    uint32_t k = s->form->bits->n, base = s->form->slice->n_choices;

    for (uint32_t t = 0; t < k; t++)
        if (s->fork->choice[base + t] != FLAT_NONE)
            bits_select(k, selects, t, s->fork->choice[base + t] == 1);
}

static uint64_t first_word(const struct section *s, enum fork_event event,
                           bool fits)
{
    uint32_t ended = s->fork->ended;

    if (event == FORK_DEAD_END)
        return OUTCOME_DEAD;
    if (ended != FLAT_NONE && s->part->kind == PART_WATCH)
        return OUTCOME_SEEN;
    if (ended != FLAT_NONE)
        return OUTCOME_ENDED | (uint64_t)s->part->member[ended] << 8;
    return OUTCOME_ON | (uint64_t)!fits << 2;
}

static void add_outcome(struct section *s, enum fork_event event,
                        const uint64_t *words)
{
    uint32_t k = s->form->bits->n;
    uint64_t *to, *selects;
    bool fits = true;

    if (!has_place(s))
        return;
    to = outcome_at(s, s->n_outcomes);
    selects = to + 1 + s->n_words;
    memset(to, 0, (1 + s->n_words) * sizeof *to);
    bits_fill(k, selects);
    bits_fill(k, selects + s->set_words);
    put_selects(s, selects);
    if (event == FORK_LEAF && s->fork->ended == FLAT_NONE) {
        if (s->part->kind == PART_WATCH)
            return;
        put_rows(s, words, to + 1);
        if (s->part->kind == PART_VALUES)
            fits = put_values(s, to + 1, selects + s->set_words);
    }
    to[0] = first_word(s, event, fits);
    take_outcome(s);
}

/* ---- all combinations of few choices ---- */

/* To the next combination of those that are not decided before; false: that
 * was the last. */
static bool next_combination(struct section *s, const uint64_t *words)
{
    for (uint32_t i = 0; i < s->n_rows; i++) {
        uint32_t row = s->rows[i];

        if (code_before(s, row, words))
            continue;
        if (++s->index_of[row] < s->form->choices[row].count) {
            straight_decide(s->straight, row, s->index_of[row]);
            return true;
        }
        s->index_of[row] = 0;
        straight_decide(s->straight, row, 0);
    }
    return false;
}

static void first_combination(struct section *s, const uint64_t *words)
{
    for (uint32_t i = 0; i < s->n_rows; i++) {
        uint32_t code = code_before(s, s->rows[i], words);

        s->index_of[s->rows[i]] = code ? code - 1 : 0;
        straight_decide(s->straight, s->rows[i], s->index_of[s->rows[i]]);
    }
}

/* Equal ones are not looked for: they meet in the next stage. */
static void add_straight(struct section *s)
{
    uint64_t *to;
    bool fits = true;

    if (!has_place(s))
        return;
    to = outcome_at(s, s->n_outcomes++);
    s->worked++;
    s->quick++;
    s->nodes += s->straight->n_open;
    memset(to, 0, s->stride * sizeof *to);
    for (uint32_t i = 0; i < s->n_rows; i++)
        if (places_carry(s->places, s->rows[i], s->part->at))
            pack_put(&s->places->rows[s->rows[i]], to + 1,
                     s->index_of[s->rows[i]] + 1);
    for (uint32_t i = 0; i < s->part->n; i++)
        fits &= put_value(s, s->part->member[i],
                          s->straight->value[s->plan->values.at[i]], to + 1,
                          NULL);
    to[0] = OUTCOME_ON | (uint64_t)!fits << 2;
}

static void work_straight(struct section *s, const uint64_t *words)
{
    for (uint32_t i = 0; i < s->n_cells; i++)
        s->values[s->cells[i]] =
            pack_get(&s->places->old[s->cells[i]], words);
    straight_load(s->straight, s->values);
    first_combination(s, words);
    do {
        straight_work(s->straight);
        add_straight(s);
    } while (goes_on(s) && next_combination(s, words));
}

static void work_lazily(struct section *s, const uint64_t *words)
{
    enum fork_event event;

    if (s->n_index)
        memset(s->index, 0, s->n_index * sizeof *s->index);
    load(s, words);
    while (goes_on(s) && (event = fork_next(s->fork)) != FORK_DONE)
        add_outcome(s, event, words);
}

static struct outcomes work_out(struct section *s, const uint64_t *words,
                                const uint64_t *key)
{
    s->n_outcomes = 0;
    s->left = SECTION_DONE;
    if (!has_place(s))
        return (struct outcomes){NULL, 0};
    memcpy(s->record, key, s->n_words * sizeof *key);
    if (s->straight)
        work_straight(s, words);
    else
        work_lazily(s, words);
    if (s->left != SECTION_DONE)
        return (struct outcomes){NULL, 0};
    s->record[s->n_words] = s->n_outcomes;
    recall_add(&s->memo, s->record,
             s->n_words + 1 + s->n_outcomes * s->stride);
    return (struct outcomes){outcome_at(s, 0), s->n_outcomes};
}

struct outcomes section_work(struct section *s, const uint64_t *words)
{
    uint64_t key[SECTION_MOST_WORDS];
    const uint64_t *record = NULL;

    for (uint32_t i = 0; i < s->n_words; i++)
        key[i] = words[i] & s->key[i];
    if (!s->memo.given_up)
        record = recall_find(&s->memo, key);
    if (!record)
        return work_out(s, words, key);
    return (struct outcomes){record + s->n_words + 1, record[s->n_words]};
}
