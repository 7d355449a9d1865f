#include "check/values.h"

#include <stdlib.h>

#include "check/real.h"
#include "check/widening.h"

enum { MANY_VALUES = 63, MOST_BITS = 20 };

void values_steps(struct draft *draft, int64_t low, int64_t step,
                  int64_t high, struct choice *choice)
{
    uint32_t count = (uint32_t)((high - low) / step) + 1;
    int64_t *values = arena_array(draft->arena, count, sizeof *values);

    for (uint32_t i = 0; i < count; i++)
        values[i] = low + (int64_t)i * step;
    choice->values = values;
    choice->count = count;
    choice->rest = 0;
}

void values_count(struct draft *draft, uint32_t count,
                  struct choice *choice)
{
    values_steps(draft, 0, 1, (int64_t)count - 1, choice);
}

static uint64_t magnitude(int64_t value)
{
    return value < 0 ? -(uint64_t)value : (uint64_t)value;
}

/* The last cell that does not begin above 0.0; not-a-number is the last of
 * all. */
static void rest_of_real(struct choice *choice)
{
    const struct type *type = type_base(choice->type);
    int64_t zero = real_value(type, 0);

    for (uint32_t i = 0; i < choice->count; i++) {
        int64_t low = choice->cell_low ? choice->cell_low[i]
                                       : choice->values[i];

        if (low != TYPE_NAN && low <= zero)
            choice->rest = i;
    }
}

/* The value nearest to 0; of two, the positive one. */
static void find_rest(struct choice *choice)
{
    choice->rest = 0;
    if (choice->type->kind == TYPE_REAL) {
        rest_of_real(choice);
        return;
    }
    for (uint32_t i = 1;
         choice->type->kind != TYPE_ENUM && i < choice->count; i++)
        if (magnitude(choice->values[i]) <=
            magnitude(choice->values[choice->rest]))
            choice->rest = i;
}

static bool is_number(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS ||
           type->kind == TYPE_TIME || type->kind == TYPE_REAL;
}

/* Number of values less one, so that it cannot overflow. */
static uint64_t width(const struct type *type)
{
    return (uint64_t)type->high - (uint64_t)type->low;
}

static void every_value(struct draft *draft, struct choice *choice)
{
    uint32_t count = (uint32_t)width(choice->type) + 1;
    int64_t *values = arena_array(draft->arena, count, sizeof *values);

    for (uint32_t i = 0; i < count; i++)
        values[i] = choice->type->low + i;
    choice->values = values;
    choice->count = count;
}

/* A VAR that nothing assigns may be meant as a constant. */
static bool is_inner(const struct draft *draft, const struct choice *choice)
{
    const struct symbol *symbol =
        choice->kind == CHOICE_INPUT && choice->of < draft->uses.n
            ? draft->uses.at[choice->of].symbol : NULL;

    return symbol && symbol->section == TREE_VAR;
}

/* One value for all: what it has at first, where nothing drives it. */
static const char *remedy(struct draft *draft, const struct choice *choice)
{
    const struct type *type = choice->type;
    int64_t value = type->low > 0 ? type->low : type->high < 0 ? type->high
                                                                : 0;

    if (is_inner(draft, choice))
        value = draft->slots.at[choice->of].initial;
    return arena_printf(draft->arena,
                        "FIXED %s := %s%lld%s BECAUSE 'more values than can "
                        "be tried';",
                        choice->name, type->kind == TYPE_TIME ? "T#" : "",
                        (long long)value,
                        type->kind == TYPE_TIME ? "ms" : "");
}

static void too_many(struct draft *draft, const struct choice *choice,
                     const struct span *use)
{
    bool start = choice->kind == CHOICE_START;
    const char *hint =
        choice->kind == CHOICE_ANY
            ? "compare it with constants only, take it from an input with a "
              "subrange, or give its type a subrange such as INT (0 .. 100)"
        : start
            ? "declare it with a subrange such as INT (0 .. 9), or give "
              "it a value with :="
            : arena_printf(draft->arena,
                           "declare a subrange such as INT (0 .. 100), %s"
                           "write FIXED %s := value BECAUSE '...';",
                           is_inner(draft, choice)
                               ? "make it a CONSTANT if nothing ever changes "
                                 "it, or "
                               : "or ",
                           choice->name);

    if (diag_told(draft->diags, choice->span,
                  choice->kind == CHOICE_INPUT ? remedy(draft, choice)
                                               : NULL))
        return; /* of another element, or instance: the mistake is one */
    diag_add(draft->diags, DIAG_ERROR,
             use && use->file ? *use : choice->span, hint,
             use && use->file
                 ? "%s can have any of more than %d values, and here it "
                   "does not only meet constants"
                 : "%s can have any of more than %d values",
             choice->kind == CHOICE_ANY
                 ? choice->name
                 : arena_printf(draft->arena, "'%s'", choice->name),
             DRAFT_MAX_VALUES);
    if (use && use->file)
        diag_also(draft->diags, choice->span, "declared here");
    if (choice->kind == CHOICE_INPUT)
        diag_remedy(draft->diags, remedy(draft, choice), NULL);
}

/* ---- cells ---- */

static int by_value(const void *a, const void *b)
{
    int64_t left = *(const int64_t *)a, right = *(const int64_t *)b;

    return (left > right) - (left < right);
}

static int64_t nearest_to_zero(int64_t low, int64_t high)
{
    return low > 0 ? low : high < 0 ? high : 0;
}

/* A value of a cell; of several REALs a gap between two numbers, which is
 * equal to nothing that is stored. */
static int64_t inside(const struct type *type, int64_t low, int64_t high)
{
    int64_t zero;

    if (type->kind != TYPE_REAL)
        return nearest_to_zero(low, high);
    zero = real_value(type_base(type), 0);
    if (low == high)
        return low;
    if (high < zero)
        return high % 2 == 0 ? high : high - 1;
    if (low > zero)
        return low % 2 == 0 ? low : low + 1;
    return zero < high ? zero + 1 : zero - 1;
}

/* The first values of all cells, in order: VEC in *begins. */
struct begins {
    VEC(int64_t) all;
};

/* Not-a-number stands alone.  REALs that meet one another are cut at what is
 * stored in them, too. */
static void collect_real(const struct flow *flow, uint32_t class,
                         struct begins *begins)
{
    bool met = false;

    vec_push(&begins->all, 0);
    for (size_t i = 0; i < flow->met.n; i++)
        met |= flow_class(flow, flow->met.at[i]) == class;
    for (size_t i = 0; met && i < flow->stored.n; i++)
        if (flow_class(flow, flow->stored.at[i].node) == class) {
            vec_push(&begins->all, flow->stored.at[i].cut);
            vec_push(&begins->all, flow->stored.at[i].cut + 1);
        }
}

static void collect(const struct flow *flow, uint32_t class,
                    const struct type *type, struct begins *begins)
{
    size_t kept = 0;

    vec_push(&begins->all, type->low);
    if (type->kind == TYPE_REAL)
        collect_real(flow, class, begins);
    for (size_t i = 0; i < flow->cuts.n; i++)
        if (flow_class(flow, flow->cuts.at[i].node) == class &&
            flow->cuts.at[i].cut > type->low &&
            flow->cuts.at[i].cut <= type->high)
            vec_push(&begins->all, flow->cuts.at[i].cut);
    qsort(begins->all.at, begins->all.n, sizeof *begins->all.at, by_value);
    for (size_t i = 0; i < begins->all.n; i++)
        if (!kept || begins->all.at[i] != begins->all.at[kept - 1])
            begins->all.at[kept++] = begins->all.at[i];
    begins->all.n = kept;
}

static void cells(struct draft *draft, const struct flow *flow,
                  uint32_t class, struct choice *choice)
{
    struct begins begins = {0};
    int64_t *low, *high, *values;
    size_t n, kept = 0;
    bool real = choice->type->kind == TYPE_REAL;

    collect(flow, class, choice->type, &begins);
    n = begins.all.n;
    low = arena_array(draft->arena, n, sizeof *low);
    high = arena_array(draft->arena, n, sizeof *high);
    values = arena_array(draft->arena, n, sizeof *values);
    for (size_t i = 0; i < n; i++) {
        low[kept] = begins.all.at[(i + real) % n];
        high[kept] = (i + real + 1) % n
                         ? begins.all.at[(i + real + 1) % n] - 1
                         : choice->type->high;
        values[kept] = inside(choice->type, low[kept], high[kept]);
        kept += !real || real_exists(choice->type, low[kept], high[kept]);
    }
    vec_release(&begins.all);
    choice->count = (uint32_t)kept;
    choice->values = values;
    choice->cell_low = low;
    choice->cell_high = high;
    if (n > DRAFT_MAX_VALUES)
        too_many(draft, choice, NULL);
}

/* ---- patterns of bits ---- */

static bool is_cut(const struct flow *flow, uint32_t class,
                   const struct type *type)
{
    for (size_t i = 0; i < flow->cuts.n; i++)
        if (flow_class(flow, flow->cuts.at[i].node) == class &&
            flow->cuts.at[i].cut > type->low &&
            flow->cuts.at[i].cut <= type->high)
            return true;
    return false;
}

/* Numbers of one pattern of bits have no common order. */
static bool is_ordered(const struct flow *flow, uint32_t class)
{
    for (size_t i = 0; i < flow->ordered.n; i++)
        if (flow_class(flow, flow->ordered.at[i]) == class)
            return true;
    return false;
}

/* The bits of the class that are read; *use gets the first place. */
static int64_t bits_read(const struct flow *flow, uint32_t class,
                         const struct type *type, struct span *use)
{
    int64_t bits = 0;

    for (size_t i = 0; i < flow->bits.n; i++) {
        if (flow_class(flow, flow->bits.at[i].node) != class)
            continue;
        bits |= flow->bits.at[i].cut & (type->high | type->low);
        if (!use->file)
            *use = flow->bits.at[i].span;
    }
    return bits;
}

/* All patterns of these bits, the other bits 0. */
static void patterns(struct draft *draft, int64_t bits,
                     struct choice *choice)
{
    uint32_t count = 1u << __builtin_popcountll((uint64_t)bits);
    int64_t *values = arena_array(draft->arena, count, sizeof *values);

    for (uint32_t i = 1; i < count; i++)
        values[i] = (int64_t)((uint64_t)values[i - 1] - (uint64_t)bits) &
                    bits;
    choice->values = values;
    choice->count = count;
    choice->bits = bits;
}

/* A bit string as it comes from outside, of which only some bits are read.
 * False when it is not like that. */
static bool by_bits(struct draft *draft, const struct flow *flow,
                    uint32_t class, struct choice *choice, struct span *use)
{
    const struct type *type = choice->type;
    int64_t bits = bits_read(flow, class, type, use);
    uint64_t high = (uint64_t)type->high;

    if (!bits || (type->low != 0 && !type_unsigned(type)) ||
        (high & (high + 1)) != 0 || is_cut(flow, class, type) ||
        is_ordered(flow, class) ||
        __builtin_popcountll((uint64_t)bits) > 12)
        return false;
    patterns(draft, bits, choice);
    return true;
}

/* Where the class is spoilt: *found, and the first place known in *use. */
static bool is_spoilt(const struct flow *flow, uint32_t class,
                      struct span *use)
{
    bool found = false;

    *use = (struct span){0};
    for (size_t i = 0; i < flow->spoilt.n; i++)
        if (flow_class(flow, flow->spoilt.at[i].node) == class) {
            found = true;
            if (!use->file)
                *use = flow->spoilt.at[i].span;
        }
    return found;
}

/* Asks that all places that want too much of it leave it open. */
static bool widened(struct draft *draft, const struct flow *flow,
                    uint32_t node, const struct choice *choice)
{
    bool fresh =
        choice->kind == CHOICE_INPUT && widening_hold(draft, choice->of);
    uint32_t class;

    if (fresh || node == MODEL_NONE || choice->kind == CHOICE_START)
        return fresh;
    if (draft->widening && draft->widening->again)
        return true; /* the next round may not need it */
    class = flow_class(flow, node);
    for (size_t i = 0; i < flow->spoilt.n; i++)
        if (flow_class(flow, flow->spoilt.at[i].node) == class &&
            flow->spoilt.at[i].cut)
            return false;
    for (size_t i = 0; i < flow->spoilt.n; i++)
        if (flow_class(flow, flow->spoilt.at[i].node) == class)
            fresh |= widening_open(draft, flow->spoilt.at[i].span);
    for (size_t i = 0; i < flow->bits.n; i++)
        if (flow_class(flow, flow->bits.at[i].node) == class)
            fresh |= widening_open(draft, flow->bits.at[i].span);
    return fresh;
}

/* Without a review text nobody says what is fixed: inputs, and what is left
 * open, of which all values count are taken as long as their ways together
 * are not too many. */
static bool multiplies(struct draft *draft, const struct choice *choice)
{
    uint32_t bits = 0;

    if (!draft->widening || draft->run->review.name ||
        (choice->kind != CHOICE_INPUT && choice->kind != CHOICE_ANY) ||
        width(choice->type) < MANY_VALUES)
        return false;
    while (width(choice->type) >> bits)
        bits++;
    draft->widening->bits += bits;
    return draft->widening->bits > MOST_BITS;
}

void values_of(struct draft *draft, const struct flow *flow, uint32_t node,
               struct choice *choice)
{
    struct span use = {0};
    uint32_t class;

    if (is_number(choice->type) && node != MODEL_NONE) {
        class = flow_class(flow, node);
        if (!is_spoilt(flow, class, &use)) {
            if (by_bits(draft, flow, class, choice, &use)) {
                choice->rest = 0;
                return;
            }
            if (!use.file) { /* no bits are read */
                cells(draft, flow, class, choice);
                find_rest(choice);
                return;
            }
        }
    }
    if (width(choice->type) >= DRAFT_MAX_VALUES) {
        if (!widened(draft, flow, node, choice))
            too_many(draft, choice, &use);
        values_count(draft, 1, choice);
        return;
    }
    if (multiplies(draft, choice) && widened(draft, flow, node, choice)) {
        values_count(draft, 1, choice);
        return;
    }
    every_value(draft, choice);
    find_rest(choice);
}
