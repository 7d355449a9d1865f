#include "check/overlap.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "check/sized.h"

enum {
    MOST_REPORTS = 10,
    MOST_PAIRS = 1000000, /* looked at: then it is told that they are many */
    MOST_NUMBERS = 8,
    MOST_NUMBER = 1 << 24
};

/* How a controller may count places; IN_WORDS: before the point of a bit
 * stands the number of a word. */
enum counting { IN_OWN_UNITS, IN_BYTES, IN_WORDS, COUNTINGS };

/* Bits from..to of a module, by one way of counting. */
struct extent {
    const struct placed *placed;
    char area, size;
    uint32_t n_modules;
    uint32_t modules[MOST_NUMBERS];
    int64_t from, to;
    bool is_bit; /* number `bit` of a byte or word */
    uint32_t bit;
};

typedef VEC(struct extent) extents;

/* The numbers behind the letters. */
static uint32_t numbers_of(const char *at, uint32_t *numbers)
{
    uint32_t n = 0;

    at += strcspn(at, "0123456789");
    while (*at && n < MOST_NUMBERS) {
        unsigned long number = strtoul(at, (char **)&at, 10);

        numbers[n++] = number < MOST_NUMBER ? (uint32_t)number : MOST_NUMBER;
        at += *at == '.';
    }
    return n;
}

static int64_t width_of(char size)
{
    switch (size) {
    case 'B': return 8;
    case 'W': return 16;
    case 'D': return 32;
    case 'L': return 64;
    default: return 1;
    }
}

/* Of so many bits is the variable itself: an array goes on behind the
 * place. */
static int64_t bits_of(const struct draft *draft, const struct type *type,
                       char size)
{
    int64_t bits = 8 * sized_bytes(draft, type);

    if (!bits && !type_elementary(type))
        bits = 8 * (int64_t)type->size; /* at least */
    if (size == 'X' && type->kind == TYPE_BOOL)
        bits = 1;
    if (size == 'X' && type->kind == TYPE_ARRAY)
        bits = type->size;
    return bits < width_of(size) ? width_of(size) : bits;
}

static void measure(const struct draft *draft, const struct placed *placed,
                    enum counting counting, struct extent *out)
{
    const char *at = placed->location;
    uint32_t own;
    int64_t unit;

    *out = (struct extent){.placed = placed,
                           .area = (char)toupper((unsigned char)at[1])};
    out->size = isalpha((unsigned char)at[2])
                    ? (char)toupper((unsigned char)at[2]) : 'X';
    out->n_modules = numbers_of(at, out->modules);
    own = out->size == 'X' && out->n_modules > 1 ? 2 : 1;
    out->n_modules -= own;
    unit = counting == IN_BYTES && out->size != 'X' ? 8
                                                    : width_of(out->size);
    if (own == 2)
        unit = counting == IN_WORDS ? 16 : 8;
    out->from = unit * out->modules[out->n_modules];
    if (own == 2) {
        out->is_bit = true;
        out->bit = out->modules[out->n_modules + 1];
        out->from += out->bit;
    }
    out->to = out->from + bits_of(draft, placed->type, out->size);
}

static int by_begin(const void *a, const void *b)
{
    const struct extent *x = a, *y = b;
    uint32_t n = x->n_modules < y->n_modules ? x->n_modules : y->n_modules;

    if (x->area != y->area)
        return x->area < y->area ? -1 : 1;
    for (uint32_t i = 0; i < n; i++)
        if (x->modules[i] != y->modules[i])
            return x->modules[i] < y->modules[i] ? -1 : 1;
    if (x->n_modules != y->n_modules)
        return x->n_modules < y->n_modules ? -1 : 1;
    return x->from < y->from ? -1 : x->from > y->from;
}

static bool same_module(const struct extent *x, const struct extent *y)
{
    return x->area == y->area && x->n_modules == y->n_modules &&
           !memcmp(x->modules, y->modules,
                   x->n_modules * sizeof *x->modules);
}

/* Two of one width with different numbers are two, but where controllers
 * count in bytes: nobody would write such a pair for one of these. */
static bool counts(const struct extent *x, const struct extent *y,
                   enum counting counting)
{
    return same_module(x, y) && y->from < x->to &&
           (x->size != y->size || counting == IN_OWN_UNITS);
}

static bool is_told(const struct draft *draft, const struct placed *a,
                    const struct placed *b)
{
    for (size_t i = 0; i < draft->meeting.n; i++)
        if ((draft->meeting.at[i].a == a && draft->meeting.at[i].b == b) ||
            (draft->meeting.at[i].a == b && draft->meeting.at[i].b == a))
            return true;
    return false;
}

static void tell(struct draft *draft, const struct extent *x,
                 const struct extent *y)
{
    const struct placed *first = x->placed, *second = y->placed;
    enum severity level =
        draft->run->review.name ? DIAG_ERROR : DIAG_WARNING;

    if (is_told(draft, first, second) || draft->meeting.n >= MOST_REPORTS)
        return;
    vec_push(&draft->meeting, ((struct meeting){first, second}));
    if (second < first) {
        second = x->placed;
        first = y->placed;
    }
    if (x->from == y->from && x->to == y->to && x->size == y->size)
        diag_add(draft->diags, level, second->where,
                 "declare it once, as VAR_GLOBAL",
                 "this place is declared twice: the variables are taken for "
                 "two");
    else
        diag_add(draft->diags, level, second->where,
                 "declare it once, as VAR_GLOBAL, and name its bits as x.3; "
                 "or take AT out where your controller has two places",
                 "%s may be a part of the place %s: they are taken for two",
                 second->location, first->location);
    diag_also(draft->diags, first->where, "the other is this");
}

/* How many of the pairs may still be looked at. */
static void sweep(struct draft *draft, extents *all, enum counting counting,
                  uint32_t *left)
{
    for (size_t i = 0; i < all->n; i++)
        for (size_t k = i + 1;
             k < all->n && *left && same_module(&all->at[i], &all->at[k]) &&
             all->at[k].from < all->at[i].to;
             k++, --*left)
            if (counts(&all->at[i], &all->at[k], counting))
                tell(draft, &all->at[i], &all->at[k]);
}

static void too_many(struct draft *draft)
{
    diag_add(draft->diags, DIAG_ERROR, draft->placed.at[0].where,
             "declare each place once",
             "too many variables share their places");
}

/* A bit beyond the seventh: of a byte it would be none. */
static bool in_words(const struct draft *draft)
{
    for (size_t i = 0; i < draft->placed.n; i++) {
        struct extent extent;

        measure(draft, &draft->placed.at[i], IN_OWN_UNITS, &extent);
        if (extent.size == 'X' && extent.is_bit && extent.bit > 7)
            return true;
    }
    return false;
}

void overlap_check(struct draft *draft)
{
    uint32_t left = MOST_PAIRS;
    int countings = in_words(draft) ? COUNTINGS : IN_WORDS;
    extents all = {0};

    if (diags_errors(draft->diags))
        return; /* they may be about these places */
    for (int counting = 0; counting < countings; counting++) {
        vec_clear(&all);
        for (size_t i = 0; i < draft->placed.n; i++) {
            struct extent extent;

            measure(draft, &draft->placed.at[i], (enum counting)counting,
                    &extent);
            vec_push(&all, extent);
        }
        if (all.n)
            qsort(all.at, all.n, sizeof *all.at, by_begin);
        sweep(draft, &all, (enum counting)counting, &left);
    }
    if (!left)
        too_many(draft);
    vec_release(&all);
}
