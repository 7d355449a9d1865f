/* say.h - what happens in a scan, as short sentences in the user's names. */
#ifndef KEEPCLEAR_PRESENT_SAY_H
#define KEEPCLEAR_PRESENT_SAY_H

#include <stdbool.h>
#include <stdint.h>

struct choice;
struct findings;
struct model;
struct replay;
struct text;
struct type;

/* A value as the user writes it: an item, a number, a time; BOOL as
 * TRUE or FALSE. */
void say_value(struct text *out, const struct type *type, int64_t value);

/* The REALs from low to high: "at least 5000.0". */
void say_real(struct text *out, const struct type *type, int64_t low,
              int64_t high);

/* The value of a choice; a cell is said by its ends. */
void say_choice(struct text *out, const struct choice *choice,
                uint32_t index);

/* How an open place came out, behind its name: "comes out TRUE". */
void say_outcome(struct text *out, const struct model *model, uint32_t row,
                 int64_t value);

/* What the operators do in scan number `scan` (from 0), one line each. */
void say_operator(struct text *out, const struct findings *findings,
                  const struct replay *replay, uint32_t scan);

/* What the machine does: movements, faults, power, one line each. */
void say_machine(struct text *out, const struct findings *findings,
                 const struct replay *replay, uint32_t scan);

/* How open places came out that came out otherwise before; then which
 * actuators change, one line each; without actuators the variables of
 * the programs. */
void say_outputs(struct text *out, const struct findings *findings,
                 const struct replay *replay, uint32_t scan);

#endif
