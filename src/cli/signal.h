/* signal.h - `draw --signal NAME`: the way of a signal. */
#ifndef KEEPCLEAR_CLI_SIGNAL_H
#define KEEPCLEAR_CLI_SIGNAL_H

#include <stdbool.h>

struct loaded;
struct options;

enum signal_form { SIGNAL_AS_TEXT, SIGNAL_AS_DOT, SIGNAL_AS_SVG };

/* Finds the way and writes it; gives the exit code. */
int signal_draw(const struct options *options, struct loaded *loaded,
                enum signal_form form);

#endif
