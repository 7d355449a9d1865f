#include "study/memo.h"

#include <inttypes.h>
#include <string.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "study/question.h"

struct entry {
    struct memo_core core;
    const struct reach *reach;
    const uint32_t *watches; /* numbers in the flat logic */
    uint32_t n_watches;
    uint64_t most_situations, most_bytes; /* limits it was found under */
    const struct entry *next;
};

struct memo {
    struct arena *arena;
    const struct entry *entries; /* the newest first */
};

struct words {
    VEC(uint64_t) w;
};

struct memo *memo_new(struct arena *arena)
{
    struct memo *memo = ARENA_NEW(arena, struct memo);

    memo->arena = arena;
    return memo;
}

/* ---- the core of a question ---- */

static void add_list(struct words *to, const uint32_t *at, uint32_t n)
{
    vec_push(&to->w, n);
    for (uint32_t i = 0; i < n; i++)
        vec_push(&to->w, at[i]);
}

static void add_roots(struct words *to, const struct slice_root *at,
                      uint32_t n)
{
    vec_push(&to->w, n);
    for (uint32_t i = 0; i < n; i++)
        vec_push(&to->w, at[i].number);
}

static void add_fixed(struct words *to, const struct slice *slice,
                      const uint32_t *fixed)
{
    size_t count = to->w.n;

    vec_push(&to->w, 0);
    for (uint32_t i = 0; fixed != NULL && i < slice->n_choices; i++)
        if (slice->used[i] && fixed[i] != FLAT_NONE)
            vec_push(&to->w, (uint64_t)i << 32 | fixed[i]);
    to->w.at[count] = to->w.n - count - 1;
}

/* Can it occur in the slice, and does that count there? */
static bool is_read(const struct study *study, const struct slice *slice,
                    uint32_t cause)
{
    return slice->used[study->lowered->flat->causes[cause].choice];
}

static bool are_read(const struct study *study, const struct slice *slice,
                     const struct cause_set *set)
{
    for (uint32_t i = 0; i < set->n; i++)
        if (!is_read(study, slice, set->causes[i]))
            return false;
    return true;
}

/* What a slice does not read, and a limit that the rest cannot reach, change
 * nothing. */
static void add_faults(struct words *to, const struct study *study,
                       const struct answer *answer)
{
    const struct slice_request *request = &answer->request;
    uint32_t n = 0;

    for (uint32_t i = 0; i < study->model->n_causes; i++) {
        bool read = is_read(study, answer->slice, i);

        vec_push(&to->w, read);
        n += read;
    }
    vec_push(&to->w, request->faults < n ? request->faults : n);
    for (uint32_t i = 0; i < request->n_forbidden; i++)
        if (are_read(study, answer->slice, &request->forbidden[i]))
            add_list(to, request->forbidden[i].causes,
                     request->forbidden[i].n);
    vec_push(&to->w, UINT64_MAX);
}

static void add_request(struct words *to, const struct study *study,
                        const struct answer *answer)
{
    const struct slice_request *request = &answer->request;

    vec_push(&to->w, (uint64_t)(uintptr_t)study->lowered);
    vec_push(&to->w, request->free_times);
    add_faults(to, study, answer);
    add_list(to, request->ends, request->n_ends);
    add_list(to, request->studied, request->n_studied);
}

struct memo_core memo_core(struct study *study, const struct answer *answer)
{
    const struct slice *slice = answer->slice;
    struct words words = {0}, *to = &words;
    struct memo_core core;
    uint64_t *copy;

    add_request(to, study, answer);
    vec_push(&to->w, slice->n_cells);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        vec_push(&to->w, slice->cells[i].cell);
    vec_push(&to->w, slice->n_cut);
    for (uint32_t i = 0; slice->n_cut > 0 && i < slice->n_cells; i++)
        vec_push(&to->w, (uint64_t)slice->cells[i].high);
    add_roots(to, slice->assumptions, slice->n_assumptions);
    add_fixed(to, slice, answer->setting.fixed_first);
    add_fixed(to, slice, answer->setting.fixed_next);
    copy = arena_array(study->arena, words.w.n, sizeof *copy);
    memcpy(copy, words.w.at, words.w.n * sizeof *copy);
    core = (struct memo_core){copy, words.w.n};
    vec_release(&words.w);
    return core;
}

bool memo_same(const struct memo_core *a, const struct memo_core *b)
{
    return a->n == b->n &&
           memcmp(a->words, b->words, a->n * sizeof *a->words) == 0;
}

/* ---- what is known ---- */

/* Where the entry holds that watch; n_watches: it does not. */
static uint32_t place_in(const struct entry *entry, uint32_t watch)
{
    uint32_t i = 0;

    while (i < entry->n_watches && entry->watches[i] != watch)
        i++;
    return i;
}

static bool holds_all(const struct entry *entry, const struct slice *slice)
{
    for (uint32_t i = 0; i < slice->n_watches; i++)
        if (place_in(entry, slice->watches[i].number) == entry->n_watches)
            return false;
    return true;
}

/* The level at which the last watch that is wanted was seen; 0: not all were,
 * or none is wanted. */
static uint32_t all_seen(const struct answer *answer, const uint32_t *level)
{
    const bool *until = answer->setting.until;
    uint32_t last = 0;

    for (uint32_t i = 0; until && i < answer->slice->n_watches; i++) {
        if (until[i] && level[i] == 0)
            return 0;
        if (until[i] && level[i] > last)
            last = level[i];
    }
    return last;
}

/* What a run would have found that stopped at that level: what counts for
 * others is what was seen in complete levels. */
static void cut(struct answer *answer, struct reach *reach, uint32_t level)
{
    reach->end = EXPLORE_SEEN;
    reach->levels = level - 1;
    reach->situations = 0;
    for (uint32_t i = 0; i < reach->levels; i++)
        reach->situations += reach->level_size[i];
    reach->count = arena_printf(answer->arena, "%" PRIu64,
                                reach->situations);
    reach->low = reach->high = NULL;
    if (reach->dead_end != FLAT_NONE && reach->dead_end >= reach->levels)
        reach->dead_end = FLAT_NONE;
}

/* Would a run under the answer's own limits have found the same? */
static bool within_limits(const struct answer *answer,
                          const struct entry *entry,
                          const struct reach *reach)
{
    const struct explore_setting *own = &answer->setting;
    bool same = own->most_situations == entry->most_situations &&
                own->most_bytes == entry->most_bytes;

    if (same || reach->end > EXPLORE_SEEN)
        return same;
    return (own->most_situations == 0 ||
            reach->situations <= own->most_situations) &&
           (own->most_bytes == 0 || reach->bytes <= own->most_bytes);
}

static const struct reach *derive(struct answer *answer,
                                  const struct entry *entry)
{
    struct reach *reach = ARENA_NEW(answer->arena, struct reach);
    uint32_t n = answer->slice->n_watches, last;
    uint32_t *level = arena_array(answer->arena, (size_t)n + 1,
                                  sizeof *level);

    *reach = *entry->reach;
    for (uint32_t i = 0; i < n; i++)
        level[i] = entry->reach->watch_level[place_in(
            entry, answer->slice->watches[i].number)];
    reach->watch_level = level;
    last = all_seen(answer, level);
    if (last != 0)
        cut(answer, reach, last);
    if (last == 0 && reach->end == EXPLORE_SEEN)
        return NULL;
    return within_limits(answer, entry, reach) ? reach : NULL;
}

const struct reach *memo_find(struct study *study,
                              const struct memo_core *core,
                              struct answer *answer)
{
    const struct memo *memo = study->memo;

    for (const struct entry *entry = memo->entries; entry != NULL;
         entry = entry->next) {
        const struct reach *reach;

        if (!memo_same(&entry->core, core) ||
            !holds_all(entry, answer->slice))
            continue;
        reach = derive(answer, entry);
        if (reach != NULL)
            return reach;
    }
    return NULL;
}

void memo_keep(struct study *study, const struct memo_core *core,
               const struct answer *answer)
{
    struct memo *memo = study->memo;
    const struct slice *slice = answer->slice;
    uint32_t *watches = arena_array(memo->arena,
                                    (size_t)slice->n_watches + 1,
                                    sizeof *watches);
    struct entry *entry = ARENA_NEW(memo->arena, struct entry);

    for (uint32_t i = 0; i < slice->n_watches; i++)
        watches[i] = slice->watches[i].number;
    *entry = (struct entry){*core, answer->reach, watches, slice->n_watches,
                            answer->setting.most_situations,
                            answer->setting.most_bytes, memo->entries};
    memo->entries = entry;
}
