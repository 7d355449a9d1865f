#include "check/overlap.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "check/controller.h"
#include "check/sized.h"
#include "check/widening.h"

enum {
    MOST_REPORTS = 10,
    MOST_PAIRS = 1000000, /* looked at: then it is told that they are many */
    MOST_NUMBERS = 8,
    TEXT_BYTES = 82, /* a text of the usual length, a date */
    MOST_NUMBER = 1 << 24
};

/* How a controller may count places: each width by itself, all in bytes, all
 * from a word's width on in words.  BITS_IN_WORDS: each width by itself, and
 * before the point of a bit stands the number of a word. */
enum counting {
    IN_OWN_WIDTHS,
    IN_BYTES,
    IN_WORDS,
    BITS_IN_WORDS,
    COUNTINGS
};

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

/* On which controllers two share a part. */
struct sharing {
    bool by[PLACES]; /* choices of the setting */
    bool open;       /* on one of the controllers, and not on another one */
    bool may;        /* on one on which these texts may run */
};

/* Two that may share a part, first and second as they are declared. */
struct pair {
    const struct extent *x, *y;
    const struct placed *first, *second;
    struct sharing sharing;
    bool open; /* and nothing says which */
    enum severity level;
};

static char area_of(const struct placed *placed)
{
    return (char)toupper((unsigned char)placed->location[1]);
}

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

/* So many bits is one step of the last number, or of the one before the
 * point of a bit. */
static int64_t unit_of(const struct extent *extent, enum counting counting)
{
    if (extent->is_bit && extent->size == 'X')
        return counting == IN_WORDS || counting == BITS_IN_WORDS ? 16 : 8;
    if (extent->size == 'X')
        return 1;
    if (counting == IN_BYTES || extent->size == 'B')
        return 8;
    return counting == IN_WORDS ? 16 : width_of(extent->size);
}

static void measure(const struct draft *draft, const struct placed *placed,
                    enum counting counting, struct extent *out)
{
    const char *at = placed->location;
    bool is_boolean = placed->type->kind == TYPE_BOOL;

    *out = (struct extent){.placed = placed,
                           .area = area_of(placed)};
    out->size = isalpha((unsigned char)at[2])
                    ? (char)toupper((unsigned char)at[2]) : 'X';
    out->n_modules = numbers_of(at, out->modules);
    /* %MX2.3, and %MW2.3 : BOOL */
    out->is_bit = out->n_modules > 1 && (out->size == 'X' || is_boolean);
    out->n_modules -= out->is_bit ? 2 : 1;
    out->from = unit_of(out, counting) * out->modules[out->n_modules];
    if (out->is_bit) {
        out->bit = out->modules[out->n_modules + 1];
        out->from += out->bit;
        out->size = 'X';
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

/* ---- by which choices of the setting ---- */

/* Does the setting count so?  Bits by the word only where a bit beyond the
 * seventh is written: of a byte it would be none. */
static bool counts_so(enum counting counting, int choice, bool bits_in_words)
{
    return (int)counting == choice ||
           (counting == BITS_IN_WORDS && choice == PLACES_WIDTHS &&
            bits_in_words);
}

static bool is_bit_and_byte(const struct extent *x, const struct extent *y)
{
    return (x->is_bit && y->size == 'B') || (y->is_bit && x->size == 'B');
}

/* Where bytes have numbers of their own, a bit up to the seventh is one of a
 * byte. */
static bool meet(const struct draft *draft, const struct pair *pair,
                 enum counting counting, bool bits_in_words)
{
    struct extent x, y;

    measure(draft, pair->first, counting, &x);
    measure(draft, pair->second, counting, &y);
    if (counting == IN_WORDS && !bits_in_words && is_bit_and_byte(&x, &y))
        return meet(draft, pair, IN_OWN_WIDTHS, false);
    return same_module(&x, &y) && x.from < y.to && y.from < x.to;
}

static struct sharing share(const struct draft *draft,
                            const struct pair *pair, bool bits_in_words)
{
    const struct setting *setting = &draft->model->settings[SETTING_PLACES];
    struct sharing out = {0};

    for (int choice = 0; choice < PLACES; choice++) {
        for (int at = 0; at < COUNTINGS; at++)
            out.by[choice] |=
                counts_so((enum counting)at, choice, bits_in_words) &&
                meet(draft, pair, (enum counting)at, bits_in_words);
        out.open |= out.by[choice] != out.by[0];
        out.may |= out.by[choice] &&
                   (!setting->said || setting->any ||
                    setting->value == (uint32_t)choice);
    }
    return out;
}

/* What a controller that these texts may run on does is not known. */
static bool is_open(const struct draft *draft, const struct sharing *sharing)
{
    const struct setting *setting = &draft->model->settings[SETTING_PLACES];

    return sharing->open && (!setting->said || setting->any);
}

/* ---- what is said ---- */

static bool is_told(const struct draft *draft, const struct placed *a,
                    const struct placed *b)
{
    for (size_t i = 0; i < draft->meeting.n; i++)
        if ((draft->meeting.at[i].a == a && draft->meeting.at[i].b == b) ||
            (draft->meeting.at[i].a == b && draft->meeting.at[i].b == a))
            return true;
    return false;
}

/* Of a block only what nothing writes has a symbol in the uses (inside.h). */
static bool in_block(const struct placed *placed)
{
    return placed->unit && placed->unit->pou->kind == POU_BLOCK &&
           area_of(placed) != 'I';
}

/* Does a text read the variable, or write it?  Of a block nobody asks. */
static void ask(const struct draft *draft, const struct placed *placed,
                bool *is_read, bool *is_written)
{
    bool known = false;

    for (uint32_t i = 0; i < draft->uses.n && !in_block(placed); i++) {
        const struct use *use = &draft->uses.at[i];

        if (!use->symbol || !widening_same(use->symbol->span, placed->span))
            continue;
        known = true;
        *is_read |= use->read.file != 0;
        *is_written |= use->written.file != 0;
    }
    *is_read |= !known;
    *is_written |= !known && area_of(placed) != 'I';
}

/* Inputs are free, each for itself: that is more than two that share a part
 * can be.  What is only read, or only written, does no harm by standing for
 * two where nobody asks more than which run-time errors occur. */
static bool is_harmless(const struct draft *draft, const struct extent *x,
                        const struct extent *y)
{
    bool is_read = false, is_written = false;

    if (area_of(x->placed) == 'I' && area_of(y->placed) == 'I' &&
        x->size == y->size)
        return true;
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

/* "in bytes or in words": the choices by which they share a part, or by which
 * they do not. */
static const char *countings(const struct draft *draft,
                             const struct sharing *sharing, bool shared)
{
    static const char *const words[PLACES] = {
        [PLACES_WIDTHS] = "each in its own width",
        [PLACES_BYTES] = "in bytes",
        [PLACES_WORDS] = "in words"};
    const char *all = NULL;

    for (int choice = 0; choice < PLACES; choice++)
        if (sharing->by[choice] == shared)
            all = all ? arena_printf(draft->arena, "%s or %s", all,
                                     words[choice])
                      : words[choice];
    return all;
}

static void tell_open(struct draft *draft, const struct pair *pair)
{
    bool judged = draft->run->review.name;

    diag_add(draft->diags, pair->level, pair->second->where,
             judged ? "write in CONTROLLER what yours does: PLACES : OWN "
                      "WIDTHS; or PLACES : BYTES; or PLACES : WORDS;"
                    : "write a review text that says what your controller "
                      "does: PLACES in CONTROLLER; or take AT out",
             "%s shares a part with %s where places are counted %s, and none "
             "where they are counted %s%s",
             pair->second->location, pair->first->location,
             countings(draft, &pair->sharing, true),
             countings(draft, &pair->sharing, false),
             pair->level == DIAG_WARNING ? ": they are taken for two" : "");
    diag_remedy(draft->diags,
                "CONTROLLER PLACES : OWN WIDTHS; END_CONTROLLER (* guess: ask "
                "it, docs/controller-questions *)", NULL);
}

static void tell_shared(struct draft *draft, const struct pair *pair)
{
    const char *taken =
        pair->level == DIAG_WARNING ? ": they are taken for two" : "";

    if (pair->x->from == pair->y->from && pair->x->to == pair->y->to &&
        pair->x->size == pair->y->size)
        diag_add(draft->diags, pair->level, pair->second->where,
                 "declare it once, as VAR_GLOBAL",
                 "this place is declared twice%s", taken);
    else
        diag_add(draft->diags, pair->level, pair->second->where,
                 way_out(pair->x, pair->y), "%s may be a part of the place "
                 "%s%s", pair->second->location, pair->first->location,
                 taken);
}

/* Of those that one line of the review text settles, the first is told. */
static bool is_enough(struct draft *draft, const struct pair *pair)
{
    uint32_t n = 0;

    for (size_t i = 0; i < draft->meeting.n; i++)
        n += draft->meeting.at[i].open == pair->open &&
             draft->meeting.at[i].error == (pair->level == DIAG_ERROR);
    return n >= (pair->open && draft->run->review.name ? 1 : MOST_REPORTS);
}

static void tell(struct draft *draft, struct pair *pair)
{
    bool harmless = is_harmless(draft, pair->x, pair->y);
    bool same_width = pair->x->size == pair->y->size;

    if (harmless && pair->open && same_width) {
        if (draft->run->review.name)
            controller_touch(draft, SETTING_PLACES);
        return; /* words in a row, as everybody writes them */
    }
    pair->level = harmless || (pair->open && same_width &&
                               !draft->run->review.name)
                      ? DIAG_WARNING : DIAG_ERROR;
    if (is_enough(draft, pair))
        return;
    vec_push(&draft->meeting,
             ((struct meeting){pair->first, pair->second, pair->open,
                               pair->level == DIAG_ERROR}));
    if (pair->open) {
        controller_touch(draft, SETTING_PLACES);
        tell_open(draft, pair);
    } else {
        tell_shared(draft, pair);
    }
    diag_also(draft->diags, pair->first->where, "the other is this");
}

static void look_at(struct draft *draft, const struct extent *x,
                    const struct extent *y, bool bits_in_words)
{
    bool turned = y->placed < x->placed;
    struct pair pair = {.x = x,
                        .y = y,
                        .first = turned ? y->placed : x->placed,
                        .second = turned ? x->placed : y->placed};

    if (is_told(draft, pair.first, pair.second))
        return;
    pair.sharing = share(draft, &pair, bits_in_words);
    pair.open = is_open(draft, &pair.sharing);
    if (pair.sharing.open && !pair.open)
        controller_touch(draft, SETTING_PLACES); /* the result says it */
    if (pair.sharing.may)
        tell(draft, &pair);
}

/* How many of the pairs may still be looked at. */
static void sweep(struct draft *draft, extents *all, bool bits_in_words,
                  uint32_t *left)
{
    for (size_t i = 0; i < all->n; i++)
        for (size_t k = i + 1;
             k < all->n && *left && same_module(&all->at[i], &all->at[k]) &&
             all->at[k].from < all->at[i].to;
             k++, --*left)
            look_at(draft, &all->at[i], &all->at[k], bits_in_words);
}

static void too_many(struct draft *draft)
{
    diag_add(draft->diags, DIAG_ERROR, draft->placed.at[0].where,
             "declare each place once",
             "too many variables share their places");
}

/* A bit beyond the seventh: of a byte it would be none. */
static bool has_wide_bits(const struct draft *draft)
{
    for (size_t i = 0; i < draft->placed.n; i++) {
        struct extent extent;

        measure(draft, &draft->placed.at[i], IN_OWN_WIDTHS, &extent);
        if (extent.size == 'X' && extent.is_bit && extent.bit > 7)
            return true;
    }
    return false;
}

void overlap_check(struct draft *draft)
{
    uint32_t left = MOST_PAIRS;
    bool bits_in_words = has_wide_bits(draft);
    extents all = {0};

    if (diags_errors(draft->diags))
        return; /* they may be about these places */
    for (int counting = 0; counting < COUNTINGS; counting++) {
        vec_clear(&all);
        for (size_t i = 0; i < draft->placed.n; i++) {
            struct extent extent;

            measure(draft, &draft->placed.at[i], (enum counting)counting,
                    &extent);
            vec_push(&all, extent);
        }
        if (all.n)
            qsort(all.at, all.n, sizeof *all.at, by_begin);
        sweep(draft, &all, bits_in_words, &left);
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
            (area_of(placed) == 'I' && !draft->run->review.name))
            continue;
        diag_add(draft->diags, DIAG_ERROR, placed->where,
                 "declare it as VAR_GLOBAL, or hand it over as VAR_IN_OUT",
                 "'%s' is there more than once, and all would stand at the "
                 "same place %s",
                 unit->name->spelling, placed->location);
    }
}
