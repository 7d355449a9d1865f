/* naming.h - variables and places as short as they can be said. */
#ifndef KEEPCLEAR_PRESENT_NAMING_H
#define KEEPCLEAR_PRESENT_NAMING_H

#include <stdint.h>

#include "check/model.h"
#include "source/source.h"

struct text;

/* "two_hand.out": without the program, where there is only one; "COMMANDED
 * lower_valve" for what an actuator is told. */
void naming_slot(struct text *out, const struct model *model, uint32_t slot);

/* The name of a text without its folders; valid as long as the sources. */
const char *naming_file(const struct sources *sources, uint32_t file);

/* "tailgate.st, line 41" */
void naming_place(struct text *out, const struct sources *sources,
                  struct span span);

/* What a hand does to a control of that kind: "pressed", "on", "held". */
const char *naming_operated(enum signal_kind kind);

#endif
