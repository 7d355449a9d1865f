/* path.h - names of files. */
#ifndef KEEPCLEAR_BASE_PATH_H
#define KEEPCLEAR_BASE_PATH_H

#include <stdbool.h>

struct text;

/* The path of a file that exists, from the root on; full is emptied first.
 * False when it cannot be found out. */
bool path_full(const char *path, struct text *full);

#endif
