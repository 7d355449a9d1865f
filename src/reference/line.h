/* line.h - what conducts between the machine and the program: contact k is
 * line k, sensor s is line n_contacts + s. */
#ifndef KEEPCLEAR_REFERENCE_LINE_H
#define KEEPCLEAR_REFERENCE_LINE_H

#include <stdbool.h>
#include <stdint.h>

#include "check/model.h"

/* Does it act on this line itself? */
bool line_acted_on(const struct model *model, const struct effect *effect,
                   uint32_t line);

/* Is it a short that joins this line with others? */
bool line_shorted(const struct model *model, const struct effect *effect,
                  uint32_t line);

#endif
