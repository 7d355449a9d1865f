#define _GNU_SOURCE /* realpath */
#include "base/path.h"

#include <stdlib.h>

#include "base/text.h"

bool path_full(const char *path, struct text *full)
{
    char *found = realpath(path, NULL);

    text_clear(full);
    if (!found)
        return false;
    text_add(full, found);
    free(found);
    return true;
}
