/* lower.h - from the checked tree to the flat logic: the one bridge between
 * the language and the engine. */
#ifndef KEEPCLEAR_LOWER_LOWER_H
#define KEEPCLEAR_LOWER_LOWER_H

#include <stdint.h>

#include "logic/build.h"

struct arena;
struct diags;
struct model;

struct lowered {
    const struct flat *flat;
    struct flat_builder *builder; /* freed by lowered_free */
    const uint32_t *breach;  /* per requirement: watch number */
    const uint32_t *trigger; /* per requirement: first trigger's watch */
    const uint32_t *error;   /* per error site: watch, or FLAT_NONE when it
                                cannot happen */
    const uint32_t *branch;  /* per branch site: watch */
    /* Values at a judging for views, in flat->value: */
    const flat_expr *slot_value; /* per slot (program, machine, actuator,
                                    recorder, wiring variables) */
};

/* Runs every text once, symbolically.  NULL when something is beyond this
 * version (a timer whose PT has no usable bound): then diags says where and
 * what to do. */
struct lowered *lower_model(struct arena *arena, const struct model *model,
                            struct diags *diags);

void lowered_free(struct lowered *lowered);

#endif
