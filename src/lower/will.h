/* will.h - what stands in for the programs when they are left out.
 *
 * The logic is lowered with free values in their place, to see whether a
 * requirement leans on the programs at all.  Every free value is a further
 * row behind the choices of the model.  Which variables a text writes is
 * found by running it once and taking everything back.
 */
#ifndef KEEPCLEAR_LOWER_WILL_H
#define KEEPCLEAR_LOWER_WILL_H

#include <stdbool.h>
#include <stdint.h>

#include "lower/way.h"

#include "logic/flat.h"

struct arena;
struct model;
struct sym;

struct will {
    enum lower_way way;
    const struct model *model;  /* the model with the further rows */
    const uint32_t *row;        /* per slot: its row, or MODEL_NONE */
    const bool *rough;          /* per row: a few of too many values */
    uint32_t first_held;        /* LOWER_SENSORS_HELD: row of sensor 0 */
};

/* The rows for a way; whole gives the constants that a type of too many
 * values is tried with.  All of it lies in the arena. */
const struct will *will_new(struct arena *arena, const struct model *model,
                            enum lower_way way, const struct flat *whole);

/* Do the programs run, or does something stand in for them? */
bool will_runs_programs(const struct sym *sym);

/* Step 5 of a lit scan, its end: where that is asked, what the programs read
 * has any value. */
void will_inputs(struct sym *sym);

/* Step 5: what a sensor shows that sees this. */
flat_expr will_sensor(struct sym *sym, uint32_t sensor, flat_expr sees);

/* Step 6 of a lit scan: whatever the programs write, and every command,
 * takes any value. */
void will_programs(struct sym *sym);

/* Actuators at will, after steps 5 and 6: what programs write and every
 * command have any value in the dark too. */
void will_always(struct sym *sym);

/* Step 7 of actuators at will: they and the relays of WIRING OUT have any
 * value, whatever is commanded and whatever broke. */
void will_actuators(struct sym *sym);

#endif
