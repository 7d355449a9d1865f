/* filled.h - the flat logic with its holes filled, as a request wants it, but
 * without what the request asks for.
 *
 * It depends on little of the request (logic/keep.h says on what), so that
 * many requests begin with the same one.
 */
#ifndef KEEPCLEAR_LOGIC_FILLED_H
#define KEEPCLEAR_LOGIC_FILLED_H

#include "logic/flat.h"
#include "logic/range.h"
#include "logic/request.h"

struct flat_builder;

/* Fewer values make simpler logic, which may leave fewer values. */
enum { FILLED_NARROWINGS = 3 };

/* What became of the first n nodes of a table; FLAT_NONE: not looked at. */
struct rewrite {
    flat_expr *by;
    uint32_t n;
};

/* Roots stand one after the other: all cells, all assumptions, all motions. */
struct filled {
    struct arena *arena;
    struct flat_builder *table; /* begins with the nodes of the builder */
    uint32_t n_nodes;           /* of the builder */
    uint32_t n_roots;
    const flat_expr *first, *next; /* in the first scan, and in later ones */
    const flat_expr *uncut; /* per cell: as logic/slice.h */
    const flat_expr *leaf;  /* per cell: its leaf; a constant when only one
                               value can be stored */
    const struct range *range;     /* per cell: what can be stored */
    const bool *timed;             /* per movement: its times count */
    flat_expr *by_first, *by_next; /* per node of the builder, as rewrite */
    struct rewrite narrowed[FILLED_NARROWINGS]; /* then, of later scans, one
                                                   after the other */
    uint32_t n_narrowed;
};

/* read: per cause, is it in the slice: then they are counted as the request
 * says, and others never occur.  NULL: each that is allowed may occur, whatever
 * the others do.  Free with filled_free. */
struct filled *filled_new(const struct flat_builder *builder,
                          const struct flat *flat,
                          const struct slice_request *request,
                          const bool *read);
void filled_free(struct filled *filled);

/* May this cause occur under the request, as far as it alone is looked at? */
bool filled_may_occur(const struct slice_request *request, uint32_t cause);

#endif
