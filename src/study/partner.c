#include "study/partner.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/arena.h"
#include "base/vec.h"
#include "check/model.h"
#include "source/source.h"

/* ---- names ---- */

static const char *last_part(const char *path)
{
    const char *dot = strrchr(path, '.');

    return dot == NULL || *path == '%' ? path : dot + 1;
}

static bool is_called(const char *path, const char *name)
{
    return strcasecmp(path, name) == 0 ||
           strcasecmp(last_part(path), name) == 0;
}

/* Do a name of the old and one of the new text mean one variable?  With
 * `last` what stands behind the last dot is enough. */
static bool partner_names(const struct renames *renames, const char *was,
                          const char *is, bool last)
{
    for (uint32_t i = 0; i < renames->n; i++) {
        const struct renamed *pair = &renames->at[i];
        bool old = is_called(was, pair->was), new = is_called(is, pair->is);

        if (old || new)
            return old && new;
    }
    return last ? strcasecmp(last_part(was), last_part(is)) == 0
                : strcasecmp(was, is) == 0;
}

static bool is_control(const struct slot *slot)
{
    return slot->home == SLOT_PROGRAM || slot->home == SLOT_GLOBAL;
}

/* Values of both mean the same. */
static bool same_values(const struct type *a, const struct type *b)
{
    a = type_base(a);
    b = type_base(b);
    if (a->kind != b->kind)
        return false;
    if (a->kind == TYPE_ENUM) {
        if (a->count != b->count)
            return false;
        for (uint32_t i = 0; i < a->count; i++)
            if (strcasecmp(a->items[i]->spelling, b->items[i]->spelling) != 0)
                return false;
    }
    return a->kind != TYPE_REAL ||
           (a->count == b->count &&
            memcmp(a->numbers, b->numbers,
                   a->count * sizeof *a->numbers) == 0);
}

/* ---- slots ---- */

struct pairing {
    const struct version *was, *is;
    const struct renames *renames;
    uint32_t *partner; /* per slot of the new one */
    bool *taken;       /* per slot of the old one */
};

static bool are_partners(const struct pairing *p, uint32_t old, uint32_t new,
                         bool last)
{
    const struct slot *was = &p->was->model->slots[old];
    const struct slot *is = &p->is->model->slots[new];

    if (p->taken[old] || is_control(was) != is_control(is))
        return false;
    if (!is_control(is))
        return was->home == is->home && strcasecmp(was->path, is->path) == 0;
    return (!last || (was->input == is->input && was->output == is->output &&
                      (is->input || is->output))) &&
           same_values(was->type, is->type) &&
           partner_names(p->renames, was->path, is->path, last);
}

/* The one partner that is left, or MODEL_NONE. */
static uint32_t only_partner(const struct pairing *p, uint32_t new, bool last)
{
    uint32_t found = MODEL_NONE;

    for (uint32_t i = 0; i < p->was->model->n_slots; i++) {
        if (!are_partners(p, i, new, last))
            continue;
        if (found != MODEL_NONE)
            return MODEL_NONE;
        found = i;
    }
    return found;
}

static void pair_up(struct pairing *p, bool last)
{
    for (uint32_t i = 0; i < p->is->model->n_slots; i++) {
        uint32_t old = p->partner[i] != MODEL_NONE
                           ? MODEL_NONE : only_partner(p, i, last);

        if (old == MODEL_NONE)
            continue;
        p->partner[i] = old;
        p->taken[old] = true;
    }
}

const uint32_t *partner_slots(struct arena *arena, const struct version *was,
                              const struct version *is,
                              const struct renames *renames)
{
    struct pairing p = {.was = was, .is = is, .renames = renames};

    p.partner = arena_array(arena, (size_t)is->model->n_slots + 1,
                            sizeof *p.partner);
    p.taken = arena_array(arena, (size_t)was->model->n_slots + 1,
                          sizeof *p.taken);
    for (uint32_t i = 0; i < is->model->n_slots; i++)
        p.partner[i] = MODEL_NONE;
    pair_up(&p, false);
    pair_up(&p, true);
    return p.partner;
}

/* ---- words of open places ---- */

static const char *words_of(const struct version *version, uint32_t row,
                            size_t *n)
{
    const struct model *model = version->model;
    const struct span span =
        model->open_places[model->choices[row].of].span;
    size_t size;
    const char *text = sources_text(version->sources, span.file, &size);

    *n = span.to - span.from;
    return text + span.from;
}

static bool same_words(const char *a, size_t n, const char *b, size_t m)
{
    for (;;) {
        while (n > 0 && isspace((unsigned char)*a))
            a++, n--;
        while (m > 0 && isspace((unsigned char)*b))
            b++, m--;
        if (n == 0 || m == 0)
            return n == m;
        if (toupper((unsigned char)*a++) != toupper((unsigned char)*b++))
            return false;
        n--;
        m--;
    }
}

/* The one input of that name has a partner of the very same name. */
static bool is_shared_input(const struct version *was,
                            const struct version *is, const uint32_t *slots,
                            const char *at, size_t n)
{
    uint32_t found = 0;

    for (uint32_t i = 0; i < is->model->n_slots; i++) {
        const struct slot *slot = &is->model->slots[i];
        const char *name = last_part(slot->path);

        if (!(is_control(slot) || slot->home == SLOT_FUNCTION) ||
            strlen(name) != n ||
            strncasecmp(name, at, n) != 0)
            continue;
        if (!slot->input || slots[i] == MODEL_NONE ||
            !was->model->slots[slots[i]].input ||
            strcasecmp(last_part(was->model->slots[slots[i]].path), name))
            return false;
        found++;
    }
    return found == 1;
}

/* Do the words speak of nothing but inputs that are partners, and numbers? */
static bool only_shared_inputs(const struct version *was,
                               const struct version *is,
                               const uint32_t *slots, const char *at,
                               size_t n)
{
    const char *end = at + n;
    bool any = false;

    while (at < end) {
        const char *begin = at;

        if (!isalnum((unsigned char)*at) && *at != '_') {
            if (*at == '(' || *at == '\'' || *at == '"')
                return false; /* a comment, a call, a text */
            at++;
            continue;
        }
        while (at < end && (isalnum((unsigned char)*at) || *at == '_' ||
                            *at == '.' || *at == '#'))
            at++;
        if (isdigit((unsigned char)*begin))
            continue;
        if (!is_shared_input(was, is, slots, begin, (size_t)(at - begin)))
            return false;
        any = true;
    }
    return any;
}

static bool same_open(const struct version *was, const struct version *is,
                      const uint32_t *slots, uint32_t old, uint32_t new)
{
    const struct open_place *a =
        &was->model->open_places[was->model->choices[old].of];
    const struct open_place *b =
        &is->model->open_places[is->model->choices[new].of];
    size_t n, m;
    const char *left = words_of(was, old, &n), *right = words_of(is, new, &m);

    return a->kind == b->kind && !a->apart && !b->apart &&
           same_values(a->type, b->type) && same_words(left, n, right, m) &&
           only_shared_inputs(was, is, slots, right, m);
}

/* ---- rows ---- */

static bool same_row(const struct version *was, const struct version *is,
                     const uint32_t *slots, uint32_t old, uint32_t new)
{
    const struct choice *a = &was->model->choices[old];
    const struct choice *b = &is->model->choices[new];

    if (a->kind != b->kind)
        return false;
    if (a->kind == CHOICE_ANY)
        return same_open(was, is, slots, old, new);
    if (a->kind == CHOICE_INPUT || a->kind == CHOICE_SHARED ||
        a->kind == CHOICE_START)
        return slots[b->of] == a->of;
    return strcasecmp(a->name, b->name) == 0;
}

const uint32_t *partner_rows(struct arena *arena, const struct version *was,
                             const struct version *is, const uint32_t *slots)
{
    uint32_t n = is->model->n_choices, m = was->model->n_choices;
    uint32_t *rows = arena_array(arena, (size_t)n + 1, sizeof *rows);
    bool *taken = arena_array(arena, (size_t)m + 1, sizeof *taken);

    for (uint32_t i = 0; i < n; i++) {
        rows[i] = MODEL_NONE;
        for (uint32_t k = 0; k < m && rows[i] == MODEL_NONE; k++)
            if (!taken[k] && same_row(was, is, slots, k, i)) {
                rows[i] = k;
                taken[k] = true;
            }
    }
    return rows;
}

/* ---- the same values ---- */

struct values {
    VEC(int64_t) all;
};

static int by_size(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

    return (x > y) - (x < y);
}

static void sort_once(struct values *values)
{
    size_t kept = 0;

    qsort(values->all.at, values->all.n, sizeof *values->all.at, by_size);
    for (size_t i = 0; i < values->all.n; i++)
        if (kept == 0 || values->all.at[i] != values->all.at[kept - 1])
            values->all.at[kept++] = values->all.at[i];
    values->all.n = kept;
}

static bool has_value(const struct choice *choice, int64_t low, int64_t high,
                      int64_t *value)
{
    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->values[i] >= low && choice->values[i] <= high) {
            *value = choice->values[i];
            return true;
        }
    return false;
}

static int64_t inside(const struct choice *was, const struct choice *is,
                      int64_t low, int64_t high)
{
    int64_t value;

    if (has_value(was, low, high, &value) || has_value(is, low, high, &value))
        return value;
    return is->type->kind == TYPE_REAL && low < high && low % 2 != 0 ? low + 1
                                                                     : low;
}

static void cut_at(struct values *cuts, const struct choice *choice)
{
    for (uint32_t i = 0; i < choice->count; i++)
        vec_push(&cuts->all, choice->cell_low[i]);
}

/* The last value of the cell in which low lies; no cell of both is left out,
 * a gap in which no number exists belongs to none. */
static bool cell_end(const struct choice *choice, int64_t low, int64_t *high)
{
    for (uint32_t i = 0; i < choice->count; i++)
        if (choice->cell_low[i] <= low && choice->cell_high[i] >= low) {
            *high = choice->cell_high[i] < *high ? choice->cell_high[i]
                                                 : *high;
            return true;
        }
    return false;
}

static uint32_t rest_of(const struct choice *was, const struct choice *made)
{
    int64_t rest = was->values[was->rest];

    for (uint32_t i = 0; i < made->count; i++)
        if (made->cell_low != NULL
                ? made->cell_low[i] <= rest && made->cell_high[i] >= rest
                : made->values[i] == rest)
            return i;
    return 0;
}

/* Cells that each lie in one cell of either. */
static void refine(struct arena *arena, const struct choice *was,
                   const struct choice *is, struct choice *made)
{
    struct values cuts = {0};
    int64_t *low, *high, *value;

    cut_at(&cuts, was);
    cut_at(&cuts, is);
    sort_once(&cuts);
    low = arena_array(arena, cuts.all.n + 1, sizeof *low);
    high = arena_array(arena, cuts.all.n + 1, sizeof *high);
    value = arena_array(arena, cuts.all.n + 1, sizeof *value);
    made->count = 0;
    for (size_t i = 0; i < cuts.all.n; i++) {
        int64_t end = i + 1 < cuts.all.n ? cuts.all.at[i + 1] - 1 : INT64_MAX;

        if (!cell_end(was, cuts.all.at[i], &end) ||
            !cell_end(is, cuts.all.at[i], &end))
            continue;
        low[made->count] = cuts.all.at[i];
        high[made->count] = end;
        value[made->count++] = inside(was, is, cuts.all.at[i], end);
    }
    made->cell_low = low;
    made->cell_high = high;
    made->values = value;
    vec_release(&cuts.all);
}

static void unite(struct arena *arena, const struct choice *was,
                  const struct choice *is, struct choice *made)
{
    struct values all = {0};
    int64_t *values;

    for (uint32_t i = 0; i < was->count; i++)
        vec_push(&all.all, was->values[i]);
    for (uint32_t i = 0; i < is->count; i++)
        vec_push(&all.all, is->values[i]);
    sort_once(&all);
    values = arena_array(arena, all.all.n + 1, sizeof *values);
    memcpy(values, all.all.at, all.all.n * sizeof *values);
    made->values = values;
    made->count = (uint32_t)all.all.n;
    vec_release(&all.all);
}

/* All that the bits of both can make. */
static void combine_bits(struct arena *arena, const struct choice *was,
                         const struct choice *is, struct choice *made)
{
    uint64_t bits = (uint64_t)(was->bits | is->bits), at = 0;
    uint32_t n = 1;
    int64_t *values;

    for (uint64_t left = bits; left != 0; left &= left - 1)
        n *= 2;
    values = arena_array(arena, n, sizeof *values);
    for (uint32_t i = 0; i < n; i++) {
        values[i] = (int64_t)at;
        at = (at - bits) & bits;
    }
    made->bits = (int64_t)bits;
    made->values = values;
    made->count = n;
}

static bool same_list(const struct choice *a, const struct choice *b)
{
    if (a->count != b->count || a->bits != b->bits ||
        (a->cell_low == NULL) != (b->cell_low == NULL))
        return false;
    for (uint32_t i = 0; i < a->count; i++)
        if (a->values[i] != b->values[i] ||
            (a->cell_low != NULL && (a->cell_low[i] != b->cell_low[i] ||
                                     a->cell_high[i] != b->cell_high[i])))
            return false;
    return true;
}

/* One way to cut an input only, whichever text asks for it. */
static bool can_align(const struct choice *was, const struct choice *is)
{
    uint64_t bits = (uint64_t)(was->bits | is->bits);
    unsigned n = 0;

    if (was->kind == CHOICE_TIME || was->kind == CHOICE_POWER)
        return false;
    for (; bits != 0; bits &= bits - 1)
        n++;
    return (was->bits != 0) == (is->bits != 0) &&
           (was->cell_low != NULL) == (is->cell_low != NULL) && n <= 12;
}

static void align_row(struct arena *arena, struct choice *was,
                      struct choice *is)
{
    struct choice made = *was;

    if (was->bits != 0)
        combine_bits(arena, was, is, &made);
    else if (was->cell_low != NULL)
        refine(arena, was, is, &made);
    else
        unite(arena, was, is, &made);
    made.rest = rest_of(was, &made);
    struct choice *const both[2] = {was, is};
    for (int i = 0; i < 2; i++) {
        both[i]->values = made.values;
        both[i]->cell_low = made.cell_low;
        both[i]->cell_high = made.cell_high;
        both[i]->count = made.count;
        both[i]->bits = made.bits;
        both[i]->rest = made.rest;
    }
}

static struct choice *own_choices(struct arena *arena,
                                  const struct model **model)
{
    struct model *copy = ARENA_NEW(arena, struct model);
    struct choice *choices = arena_array(
        arena, (size_t)(*model)->n_choices + 1, sizeof *choices);

    *copy = **model;
    if (copy->n_choices > 0)
        memcpy(choices, copy->choices, copy->n_choices * sizeof *choices);
    copy->choices = choices;
    *model = copy;
    return choices;
}

void partner_align(struct arena *arena, const struct model **was,
                   const struct model **is, const uint32_t *rows,
                   const char **why)
{
    struct choice *old = own_choices(arena, was);
    struct choice *new = own_choices(arena, is);

    *why = NULL;
    for (uint32_t i = 0; i < (*is)->n_choices && *why == NULL; i++) {
        struct choice *partner = rows[i] == MODEL_NONE ? NULL : &old[rows[i]];

        if (partner == NULL || same_list(partner, &new[i]))
            continue;
        if (can_align(partner, &new[i]))
            align_row(arena, partner, &new[i]);
        else
            *why = arena_printf(arena, "the values of '%s' are told apart in "
                                "two ways by the two texts", new[i].name);
    }
}
