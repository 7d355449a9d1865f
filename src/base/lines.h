/* lines.h - a file read line by line, so that it may be of any length.
 *
 * Stands in os.c, as all that asks the operating system.
 */
#ifndef KEEPCLEAR_BASE_LINES_H
#define KEEPCLEAR_BASE_LINES_H

#include <stddef.h>

struct text;
struct lines;

/* Opens; NULL when that fails, *why then is a phrase as of os_explain. */
struct lines *lines_open(const char *path, const char **why);

enum lines_step {
    LINES_LINE,
    LINES_END,   /* there is none left, or a signal came */
    LINES_LONG,  /* it is longer than the limit, and was skipped */
    LINES_BROKEN /* the file could not be read on */
};

/* The next line, without its line end; line is emptied first. */
enum lines_step lines_next(struct lines *lines, size_t limit,
                           struct text *line);
void lines_close(struct lines *lines); /* NULL is allowed */

#endif
