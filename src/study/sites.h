/* sites.h - the statements of all texts that give a slot its value. */
#ifndef KEEPCLEAR_STUDY_SITES_H
#define KEEPCLEAR_STUDY_SITES_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

/* A condition under which a statement stands, the innermost first. */
struct site_guard {
    const struct code_expr *condition; /* CASE: the selector; NULL: MAY */
    bool negated;                      /* of an earlier branch */
    int64_t low;                       /* CASE: the first label */
    bool label;
    struct span span;
    const struct site_guard *outer;
    uint32_t base;
};

struct site {
    const struct code_expr *value; /* NULL: none can be told */
    uint32_t base;                 /* frame in which its names lie */
    const struct site_guard *guard;
    struct span place;
    bool block; /* value is what goes into a standard block */
};

struct site_visitor {
    const struct model *model;
    uint32_t slot;
    void (*visit)(void *context, const struct site *site);
    void *context;
};

/* Visits each in the order of the texts; a VAR_IN_OUT is not followed. */
void sites_visit(const struct site_visitor *visitor);

#endif
