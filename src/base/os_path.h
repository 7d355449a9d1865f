/* os_path.h - where files lie; the body is in os.c. */
#ifndef KEEPCLEAR_BASE_OS_PATH_H
#define KEEPCLEAR_BASE_OS_PATH_H

#include "base/os.h"

/* The path of a file that exists, from the root on; full is emptied first. */
enum os_status os_full_path(const char *path, struct text *full);

#endif
