#include "check/widening.h"

enum { MOST_SPANS = 5000 };

bool widening_same(struct span a, struct span b)
{
    return a.file == b.file && a.from == b.from && a.to == b.to;
}

/* ---- asking ---- */

/* Its number, or the count of all. */
static size_t find_open(const struct widening *w, struct span span)
{
    size_t i = 0;

    while (i < w->open.n && !widening_same(w->open.at[i], span))
        i++;
    return i;
}

bool widening_has(const struct draft *draft, struct span span)
{
    const struct widening *w = draft->widening;

    return w && find_open(w, span) < w->open.n;
}

bool widening_open(struct draft *draft, struct span span)
{
    struct widening *w = draft->widening;

    if (!w || w->closed || !span.file || w->open.n >= MOST_SPANS)
        return false;
    /* asked for by another choice of this round? */
    if (widening_has(draft, span))
        return find_open(w, span) >= w->before;
    vec_push(&w->open, span);
    w->again = true;
    return true;
}

bool widening_is_short(const struct draft *draft, struct span head)
{
    const struct widening *w = draft->widening;

    for (size_t i = 0; w && i < w->few.n; i++)
        if (widening_same(w->few.at[i], head))
            return true;
    return false;
}

void widening_shorten(struct draft *draft, struct span head)
{
    struct widening *w = draft->widening;

    if (!w || w->closed || widening_is_short(draft, head) ||
        w->few.n >= MOST_SPANS)
        return;
    vec_push(&w->few, head);
    w->again = true;
}

/* Does no text write any part of the variable? */
static bool is_untouched(const struct draft *draft,
                         const struct symbol *symbol)
{
    for (uint32_t i = 0; i < draft->slots.n; i++)
        if (draft->uses.at[i].symbol == symbol &&
            (draft->uses.at[i].written.file || draft->uses.at[i].wired.file ||
             draft->uses.at[i].shared ||
             draft->slots.at[i].driver == DRIVER_FIXED))
            return false;
    return true;
}

/* Has the part more values than are ever tried? */
static bool is_wide(const struct draft *draft, uint32_t slot)
{
    const struct type *type = draft->slots.at[slot].type;

    return type->kind == TYPE_REAL ||
           (uint64_t)type->high - (uint64_t)type->low >= DRAFT_MAX_VALUES;
}

/* Does a text say with which value the part begins?  A number that says
 * nothing of itself is more likely written by what is not here: a panel, a
 * bus, another text. */
static bool is_said(const struct draft *draft, uint32_t slot)
{
    const struct slot *part = &draft->slots.at[slot];

    return draft->uses.at[slot].symbol->begins ||
           part->initial != part->type->initial;
}

bool widening_hold(struct draft *draft, uint32_t slot)
{
    const struct symbol *symbol = draft->uses.at[slot].symbol;
    struct widening *w = draft->widening;

    if (draft->run->review.name) /* its author says FIXED, or does not */
        return false;
    if (!w || w->closed || !symbol || symbol->location ||
        symbol->section == TREE_VAR_INPUT || draft->uses.at[slot].shared ||
        (draft->slots.at[slot].retain && draft->model->retain_any) ||
        !is_said(draft, slot))
        return false;
    for (size_t i = 0; i < w->held.n; i++)
        if (widening_same(w->held.at[i].span, symbol->span)) {
            w->again |= w->held.at[i].wide && !is_wide(draft, slot);
            w->held.at[i].wide &= is_wide(draft, slot);
            return w->again;
        }
    vec_push(&w->held, ((struct held){symbol->span,
                                      is_untouched(draft, symbol),
                                      is_wide(draft, slot)}));
    w->again = true;
    return true;
}

bool widening_is_held(const struct draft *draft, uint32_t slot, bool *all)
{
    const struct symbol *symbol =
        slot < draft->uses.n ? draft->uses.at[slot].symbol : NULL;
    const struct widening *w = draft->widening;

    for (size_t i = 0; symbol && w && i < w->held.n; i++)
        if (widening_same(w->held.at[i].span, symbol->span)) {
            *all = w->held.at[i].all;
            return is_said(draft, slot) &&
                   (!w->held.at[i].wide || is_wide(draft, slot));
        }
    return false;
}

/* ---- words in part ---- */

static struct part *part_of(const struct draft *draft, struct span variable)
{
    const struct widening *w = draft->widening;

    for (size_t i = 0; w && i < w->parts.n; i++)
        if (widening_same(w->parts.at[i].span, variable))
            return &w->parts.at[i];
    return NULL;
}

bool widening_part(struct draft *draft, struct span variable, uint64_t bits)
{
    struct part *part = part_of(draft, variable);

    if (!draft->widening || draft->widening->closed ||
        (part && (bits & ~part->bits) == 0))
        return false;
    draft->widening->again = true;
    if (part)
        part->bits |= bits;
    else
        vec_push(&draft->widening->parts, ((struct part){variable, bits}));
    return true;
}

uint64_t widening_bits(const struct draft *draft, struct span variable)
{
    const struct part *part = part_of(draft, variable);

    return part ? part->bits : 0;
}

/* ---- ARRAY [*] ---- */

enum { MANY_ELEMENTS = 1000 };

static const struct bounds *known_bounds(const struct draft *draft,
                                         struct span span)
{
    const struct widening *w = draft->widening;

    for (size_t i = 0; w && i < w->bounds.n; i++)
        if (widening_same(w->bounds.at[i].span, span))
            return &w->bounds.at[i];
    return NULL;
}

/* Of each of so many dimensions, until they are known. */
static int64_t many(uint32_t n_dims)
{
    return n_dims <= 1 ? MANY_ELEMENTS : n_dims == 2 ? 100
           : n_dims == 3 ? 30 : 5;
}

void widening_bounds(const struct draft *draft, struct span span,
                     uint32_t n_dims, struct type_dim *dim)
{
    const struct bounds *known = known_bounds(draft, span);

    dim->open = span;
    dim->low = known ? known->low : 0;
    dim->high = known ? known->high : many(n_dims);
}

bool widening_gives_bounds(struct draft *draft, const struct type *parameter,
                           const struct type *given)
{
    struct widening *w = draft->widening;

    if (parameter->kind != TYPE_ARRAY || given->kind != TYPE_ARRAY ||
        parameter->n_dims != given->n_dims || !w)
        return true;
    for (uint32_t i = 0; i < given->n_dims; i++) {
        const struct type_dim *dim = &given->dims[i];
        struct span span = parameter->dims[i].open;
        const struct bounds *known = known_bounds(draft, span);

        if (!span.file || (known && known->low == dim->low &&
                           known->high == dim->high))
            continue;
        if (known || w->closed)
            return false;
        vec_push(&w->bounds, ((struct bounds){span, dim->low, dim->high}));
        w->again = true;
    }
    return true;
}
