/* only.h - the requirements that --only names, the faults that --of does. */
#ifndef KEEPCLEAR_CLI_ONLY_H
#define KEEPCLEAR_CLI_ONLY_H

#include <stdbool.h>

struct model;

/* Marks those of a list of names with commas between them, per requirement;
 * false after a complaint. */
bool only_mark(const struct model *model, const char *list, bool *only);

/* The same of faults. */
bool only_causes(const struct model *model, const char *list, bool *of);

#endif
