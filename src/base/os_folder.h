/* os_folder.h - folders; os.c makes them. */
#ifndef KEEPCLEAR_BASE_OS_FOLDER_H
#define KEEPCLEAR_BASE_OS_FOLDER_H

#include "base/os_status.h"

/* Makes a folder, the one around it being there; OS_EXISTS: something is
 * called so already. */
enum os_status os_make_folder(const char *path);

/* Gives a folder another name in one step; OS_EXISTS: something that is not
 * an empty folder is called so. */
enum os_status os_name_folder(const char *from, const char *to);

#endif
