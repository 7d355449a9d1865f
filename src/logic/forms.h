/* forms.h - every root of the flat logic in the two forms that an engine
 * evaluates: for the first scan (reads choices only) and for later ones
 * (reads choices and cells).  No holes are left. */
#ifndef KEEPCLEAR_LOGIC_FORMS_H
#define KEEPCLEAR_LOGIC_FORMS_H

#include "logic/flat.h"
#include "logic/range.h"
#include "logic/request.h"

struct flat_builder;

/* Roots stand one after the other: all cells, all assumptions, all motions,
 * then the watches, ends and values of the request. */
struct forms {
    struct arena *arena;
    struct flat_builder *table; /* its own; begins as a copy */
    const struct flat *flat;
    uint32_t at_assumptions, at_motions, at_watches, at_ends, at_values;
    uint32_t n_roots;
    flat_expr *first, *next;
    const flat_expr *uncut;   /* per cell: as slice.h */
    const flat_expr *leaf;    /* per cell: its leaf; a constant when only one
                                 value can be stored */
    const struct range *range; /* per cell: what can be stored */
    const bool *timed;        /* per movement: its times count */
};

/* read: as filled_new (logic/filled.h) says.  Free with forms_free. */
struct forms *forms_new(const struct flat_builder *builder,
                        const struct flat *flat,
                        const struct slice_request *request,
                        const bool *read);
void forms_free(struct forms *forms);

#endif
