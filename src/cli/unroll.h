/* unroll.h - `draw --sequence`: one sequence as a timing diagram. */
#ifndef KEEPCLEAR_CLI_UNROLL_H
#define KEEPCLEAR_CLI_UNROLL_H

#include <stdbool.h>

struct loaded;
struct options;

/* Draws the sequence of the requirement that the options name, as a picture
 * or as text.  An exit code, 0 when it was drawn. */
int unroll(const struct options *options, const struct loaded *loaded,
           bool picture);

#endif
