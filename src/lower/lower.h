/* lower.h - from the checked tree to the flat logic: the one bridge between
 * the language and the engine. */
#ifndef KEEPCLEAR_LOWER_LOWER_H
#define KEEPCLEAR_LOWER_LOWER_H

#include <stdint.h>

#include "logic/build.h"
#include "lower/limits.h"
#include "lower/way.h"

struct arena;
struct diags;
struct model;

struct lowered {
    const struct flat *flat;
    struct flat_builder *builder; /* freed by lowered_free */
    const uint32_t *breach;  /* per requirement: watch number */
    const uint32_t *trigger; /* per requirement: first trigger's watch, or
                                FLAT_NONE when it has none; the others
                                follow */
    const uint32_t *error;   /* per error site: watch, or FLAT_NONE when it
                                cannot happen; watch numbers ascend in order
                                of execution, so that where several hold in
                                a scan the lowest is the error that ends the
                                path */
    const uint32_t *branch;  /* per branch site: watch */
    const uint32_t *stretch; /* per stretch: watch */
    uint32_t vector;         /* first of the watches of the vectors of all
                                decisions that the model names */
    uint32_t notice;         /* first of NOTICE_PARTS watches of NOTICING, or
                                FLAT_NONE without such a section */
    /* Values at a judging for views; flat->value holds them all, in this
     * order: */
    const flat_expr *slot_value; /* per slot; a VAR_TEMP or a function's
                                    variable as before its call */
    const flat_expr *hand;       /* per control: its position */
    const flat_expr *contact;    /* per contact: sound value */
    const flat_expr *sensor;     /* per sensor: sound value */
    const flat_expr *command;    /* per actuator: COMMANDED */
    const flat_expr *dark;       /* one: this scan is dark */
    const flat_expr *intended;   /* per intended difference: it may be there */
    const bool *rough;           /* per choice row: its values are a few of
                                    too many, so that something kept for
                                    them need not be kept for all; NULL: no
                                    row is */
};

/* Runs every text once, symbolically.  NULL when something is beyond this
 * version (a timer whose PT has no usable bound): then diags says where and
 * what to do.  What it returns lies in the arena. */
struct lowered *lower_model(struct arena *arena, const struct model *model,
                            struct diags *diags);

/* The same, unless a limit ends it: then *stopped, and NULL without a
 * word. */
struct lowered *lower_within(struct arena *arena, const struct model *model,
                             const struct lower_limits *limits,
                             struct diags *diags, bool *stopped);

/* The same without the programs; whole is what lower_model made of the
 * model.  Choice rows of the model keep their numbers, the free values are
 * rows behind them; errors and branches of what is left out cannot occur. */
struct lowered *lower_free(struct arena *arena, const struct model *model,
                           enum lower_way way, const struct lowered *whole,
                           struct diags *diags);

/* Frees the builder; NULL is allowed. */
void lowered_free(struct lowered *lowered);

#endif
