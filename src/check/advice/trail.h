/* trail.h - what a body does, in the order in which it does it: reads,
 * writes and calls, each with the branches in which it stands.
 */
#ifndef KEEPCLEAR_CHECK_ADVICE_TRAIL_H
#define KEEPCLEAR_CHECK_ADVICE_TRAIL_H

#include <stddef.h>

#include "base/vec.h"
#include "check/code.h"

enum trail_kind {
    TRAIL_READ,  /* of `variable` */
    TRAIL_WRITE, /* of `variable` */
    TRAIL_CALL,  /* of the instance at `variable`, or of a function */
    TRAIL_LEAVE  /* the rest need not run */
};

struct trail_event {
    enum trail_kind kind;
    struct code_variable variable;
    uint32_t reach; /* slots from there that it may be about */
    const struct code_pou *pou;     /* TRAIL_CALL */
    const struct code_stmt *stmt;   /* in which it happens */
    const struct code_expr *value;  /* TRAIL_WRITE by :=, else NULL */
    bool maybe;                     /* TRAIL_WRITE through a VAR_IN_OUT, or
                                       of one of several elements */
    size_t next; /* TRAIL_WRITE: the next write of the very same place, or
                    TRAIL_NONE */
    uint32_t node;
    uint32_t top; /* number of the outermost statement */
    struct span span;
};

#define TRAIL_NONE SIZE_MAX

/* A list of statements: node 0 is the body. */
struct trail_node {
    uint32_t parent, depth;
    const struct code_stmt *stmt; /* whose branch it is */
    const struct code_branch *branch;
    bool loop;                    /* in or below a loop */
};

struct trail {
    VEC(struct trail_event) events;
    VEC(struct trail_node) nodes;
    VEC(size_t) tops; /* first event of each outermost statement, and the
                         number of events */
};

void trail_make(struct trail *trail, const struct code_stmt *stmts,
                uint32_t count);
void trail_release(struct trail *trail);

/* Can no scan run both? */
bool trail_exclusive(const struct trail *trail, uint32_t a, uint32_t b);

/* Is node `inner` the node `outer` or below it? */
bool trail_within(const struct trail *trail, uint32_t inner,
                  uint32_t outer);

/* Is the node a branch of this statement, or below one? */
bool trail_below(const struct trail *trail, uint32_t node,
                 const struct code_stmt *stmt);

/* The same place, known before the start? */
bool trail_same(struct code_variable a, struct code_variable b);

/* May the event be about one of `size` slots from the variable on? */
bool trail_touches(const struct trail_event *event,
                   struct code_variable variable, uint32_t size);

/* Calls `see` for every expression below the statements, outermost first. */
typedef void trail_see(void *context, const struct code_stmt *stmt,
                       const struct code_expr *expr);
void trail_expressions(const struct code_stmt *stmts, uint32_t count,
                       trail_see *see, void *context);

#endif
