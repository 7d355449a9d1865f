/* contents.h - what the control texts of a run hold, and what of it counts. */
#ifndef KEEPCLEAR_CHECK_CONTENTS_H
#define KEEPCLEAR_CHECK_CONTENTS_H

#include "lang/review.h"

struct check_context;

enum content_state {
    CONTENT_READ,       /* needed and read */
    CONTENT_UNREADABLE, /* needed, but there is something in it that is not
                           read */
    CONTENT_MISSING,    /* needed, but no text declares it */
    CONTENT_SKIPPED,    /* not needed, and not readable */
    CONTENT_IDLE,       /* not needed: not checked either */
    CONTENT_STATES
};

struct content {
    enum content_state state;
    const char *kind; /* "PROGRAM", "TYPE" ... */
    const struct name *name;
    struct span span;
    const struct tree_unread *why; /* the first reason, or NULL */
};

struct contents {
    const struct content *rows; /* in the order of the texts */
    uint32_t n;
};

/* The rows lie in the arena of the context; nothing is reported. */
struct contents contents_of(const struct check_context *context,
                            const struct tree_run *run);

#endif
