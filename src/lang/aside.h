/* aside.h - what a feed knows of ACTIONs and namespaces (action.h,
 * namespace.h).
 */
#ifndef KEEPCLEAR_LANG_ASIDE_H
#define KEEPCLEAR_LANG_ASIDE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/vec.h"
#include "source/source.h"

struct name;
struct scanner;

/* One ACTION: the statements between its heading and END_ACTION. */
struct action {
    const struct name *unit, *name;
    uint32_t from, to;
    bool returns; /* RETURN stands in it */
    bool outside; /* something of its name is called behind a point */
    bool given;   /* it was read for those who call it so */
};

/* A scanner that waits while an ACTION is read, and where it stands. */
struct waiting {
    struct scanner *scanner;
    size_t at;
    uint32_t call;    /* place of the outermost call */
    uint32_t end;     /* of the ACTION that is read */
    bool returns;     /* the ACTION is left by RETURN: it is read as a loop of
                         one pass */
    struct span where; /* of its call */
    bool stands;      /* it is read at the end of its POU, for others */
    size_t opens;     /* blocks that are open within the POU, itself one */
};

struct actions {
    VEC(struct action) all;
    VEC(struct waiting) waiting; /* the inmost last */
    const struct name *unit;     /* the POU that the feed is in */
    unsigned calls;              /* of all, so that they come to an end */
};

struct namespaces {
    VEC(const struct name *) names; /* parts of the names so far */
    unsigned open;                  /* not yet ended */
};

#endif
