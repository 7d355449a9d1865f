/* needs.h - what a thing needs to get a value, read from the text.
 *
 * For what does not come about: each statement that could give the value, and
 * the conditions it stands under; then the same for what those read.  It says
 * where to look and proves nothing.
 */
#ifndef KEEPCLEAR_STUDY_NEEDS_H
#define KEEPCLEAR_STUDY_NEEDS_H

#include <stdbool.h>
#include <stdint.h>

#include "source/source.h"

struct arena;
struct model;

enum { NEEDS_MOST = 16, NEEDS_SITES = 4, NEEDS_LOST = 3, NEEDS_GUARDS = 6 };

/* One place that can give the value. */
struct need_site {
    struct span value;        /* the text of what is assigned; file 0: a
                                 constant, only the conditions count */
    struct span guards[NEEDS_GUARDS]; /* conditions, innermost first */
    bool negated[NEEDS_GUARDS];       /* it must not hold */
    uint32_t n_guards;
    struct span place;
};

enum need_kind { NEED_SLOT, NEED_SENSOR };

struct need_row {
    enum need_kind kind;
    uint32_t index;
    int64_t value;
    struct need_site sites[NEEDS_SITES]; /* none: nothing gives it */
    uint32_t n_sites;
    struct need_site lost[NEEDS_LOST]; /* a step of a sequence: statements
                                          outside it that end it */
    uint32_t n_lost;
    bool more;
};

struct need_list {
    const struct need_row *at;
    uint32_t n;
    bool more; /* it goes on */
};

/* What the breach of a requirement needs, or what a POSSIBLE looks for; lies
 * in the arena. */
const struct need_list *needs_of(struct arena *arena,
                                 const struct model *model,
                                 uint32_t requirement);

/* What a variable needs to get a value. */
const struct need_list *needs_of_slot(struct arena *arena,
                                      const struct model *model,
                                      uint32_t slot, int64_t value);

#endif
