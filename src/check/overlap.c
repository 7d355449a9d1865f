#include "check/overlap.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "check/sized.h"
#include "check/widening.h"

enum {
    MOST_REPORTS = 10,
    MOST_PAIRS = 1000000, /* looked at: then it is told that they are many */
    MOST_NUMBERS = 8,
    TEXT_BYTES = 82, /* a text of the usual length, a date */
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

/* Bytes of a value on the controllers that take the most, each part at a
 * multiple of its own size; *align: that of the largest part. */
static int64_t most_bytes(const struct draft *draft, const struct type *type,
                          int64_t *align)
{
    int64_t bytes = sized_bytes(draft, type), inner = 1;

    if (type->kind == TYPE_ARRAY) {
        int64_t one = most_bytes(draft, type->element, align);

        return one * (type->size / type->element->size);
    }
    if (type->kind == TYPE_STRUCT) {
        *align = 1;
        for (uint32_t i = 0; i < type->n_fields; i++) {
            int64_t one = most_bytes(draft, type->fields[i].type, &inner);

            bytes += (inner - bytes % inner) % inner + one;
            *align = inner > *align ? inner : *align;
        }
        return bytes + (*align - bytes % *align) % *align;
    }
    if (!bytes)
        bytes = type->kind == TYPE_ENUM ? 4 : TEXT_BYTES;
    if (type->kind == TYPE_TIME || type_base(type)->kind == TYPE_TIME)
        bytes = 8;
    *align = bytes < 8 ? bytes : 8;
    return bytes;
}

/* Of so many bits is the variable itself: an array goes on behind the place,
 * where some controllers give each BOOL a byte. */
static int64_t bits_of(const struct draft *draft, const struct type *type,
                       char size)
{
    int64_t bits = 8 * sized_bytes(draft, type), align;

    if (!type_elementary(type))
        bits = 8 * most_bytes(draft, type, &align);
    if (size == 'X' && type->kind == TYPE_BOOL)
        bits = 1;
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

/* Does a text read the variable, or write it?  Of a block nobody asks. */
static void ask(const struct draft *draft, const struct placed *placed,
                bool *is_read, bool *is_written)
{
    bool known = false;

    for (uint32_t i = 0; i < draft->uses.n; i++) {
        const struct use *use = &draft->uses.at[i];

        if (!use->symbol || !widening_same(use->symbol->span, placed->span))
            continue;
        known = true;
        *is_read |= use->read.file != 0;
        *is_written |= use->written.file != 0;
    }
    *is_read |= !known;
    *is_written |= !known;
}

/* What is only read, or only written, does no harm by standing for two where
 * nobody asks more than which run-time errors occur. */
static bool is_harmless(const struct draft *draft, const struct extent *x,
                        const struct extent *y)
{
    bool is_read = false, is_written = false;

    ask(draft, x->placed, &is_read, &is_written);
    ask(draft, y->placed, &is_read, &is_written);
    return !draft->run->review.name && !(is_read && is_written);
}

static bool has_booleans(const struct extent *x)
{
    return x->placed->type->kind == TYPE_ARRAY &&
           x->placed->type->element->kind == TYPE_BOOL;
}

/* What to do about two that are not the same place. */
static const char *way_out(const struct extent *x, const struct extent *y)
{
    return has_booleans(x) || has_booleans(y)
               ? "declare both as one array; or take AT out where your "
                 "controller packs the BOOLs of an array into bits: others "
                 "give each a byte"
               : "declare it once, as VAR_GLOBAL, and name its bits as x.3; "
                 "or take AT out where your controller has two places";
}

static void tell(struct draft *draft, const struct extent *x,
                 const struct extent *y)
{
    const struct placed *first = x->placed, *second = y->placed;
    bool harmless = is_harmless(draft, x, y);
    enum severity level = harmless ? DIAG_WARNING : DIAG_ERROR;
    const char *taken = harmless ? ": they are taken for two" : "";

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
                 "this place is declared twice%s", taken);
    else
        diag_add(draft->diags, level, second->where, way_out(x, y),
                 "%s may be a part of the place %s%s", second->location,
                 first->location, taken);
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

void overlap_instance(struct draft *draft, const struct unit *unit,
                      uint32_t count)
{
    for (size_t i = 0; count == 2 && i < draft->placed.n; i++) {
        const struct placed *placed = &draft->placed.at[i];

        if (placed->unit != unit ||
            (toupper((unsigned char)placed->location[1]) == 'I' &&
             !draft->run->review.name))
            continue;
        diag_add(draft->diags, DIAG_ERROR, placed->where,
                 "declare it as VAR_GLOBAL, or hand it over as VAR_IN_OUT",
                 "'%s' is there more than once, and all would stand at the "
                 "same place %s",
                 unit->name->spelling, placed->location);
    }
}
