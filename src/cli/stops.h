/* stops.h - `draw --stops`: what stops what. */
#ifndef KEEPCLEAR_CLI_STOPS_H
#define KEEPCLEAR_CLI_STOPS_H

#include <stdbool.h>

struct loaded;
struct options;

/* Makes the stop map and writes it, as SVG or as text; gives the exit code. */
int stops(const struct options *options, struct loaded *loaded, bool svg);

#endif
