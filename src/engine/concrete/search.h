/* search.h - choosing the way through each scan of a canonical sequence.
 *
 * Costs are known from the end backwards; rows are then made from the start
 * on, each the smallest among those of least total cost.
 */
#ifndef KEEPCLEAR_ENGINE_CONCRETE_SEARCH_H
#define KEEPCLEAR_ENGINE_CONCRETE_SEARCH_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/concrete/cost.h"
#include "engine/concrete/fork.h"

struct arena;
struct expander;
struct exploration;

/* What the rest of the way costs, for situations base to end - 1. */
struct ahead {
    const cost *at;
    uint64_t base, end;
    cost least; /* of all of them, or anything below */
};

struct search;

/* Does what a walker stands at reach the goal of the search? */
typedef bool search_goal(const struct search *search,
                         struct expander *walker, enum fork_event event);

/* A search of `length` rows: row r leads from a situation after r - 1 scans
 * on, row 1 from nowhere. */
struct search {
    struct exploration *exploration;
    struct arena *scratch;
    struct expander *first, *next;
    search_goal *goal; /* of the last row */
    uint32_t index;    /* of the goal */
    const bool *into;  /* per situation: where the last row may lead */
    uint32_t length;
    const uint32_t *fixed; /* length rows or NULL */
    uint32_t *merged;      /* one row: fixed here and by the setting */
    bool needs_watch;      /* the goal is never reached without watch `index` */
    bool unlimited;        /* what must not be left out at the last row are
                              dead ends */
    uint32_t unlooked;     /* ways since the last look for a signal */
    bool interrupted;      /* it was left: nothing that it says counts */
};

/* The rows made so far, n_choices entries each. */
struct making {
    uint32_t n_choices;
    uint32_t *choices, *trial;
    bool *decided;
    cost sum;
    uint64_t from; /* where the next row begins */
};

/* Lies in its scratch arena; goal, index, length and fixed are for the
 * caller to set. */
struct search *search_new(struct exploration *exploration);
void search_free(struct search *search);

/* The walker for a row, with what is fixed in that row. */
struct expander *search_walker(struct search *search, uint32_t row);

/* Is there a signal, was there too much work, or must it be left for another
 * reason?  Asks for signals now and then. */
bool search_is_left(struct search *search);

/* The least cost from a situation on; walker: that of the row; ahead is NULL
 * for the last row. */
cost search_least(struct search *search, struct expander *walker,
                  uint64_t from, const struct ahead *ahead);

/* Room for search->length rows in the arena. */
struct making search_make(struct search *search, struct arena *arena);

/* Adds row number `row`, rows in order from 1; false: there is no way on, or
 * it was interrupted. */
bool search_add_row(struct search *search, struct making *making,
                    uint32_t row, const struct ahead *ahead);

#endif
