/* diagnose.h - what the program says about a faulty text. */
#ifndef KEEPCLEAR_TESTS_DIAGNOSE_H
#define KEEPCLEAR_TESTS_DIAGNOSE_H

#include <stdbool.h>

struct text;

/* Reads the file (a review text if its name ends in .review, else a control
 * text) and appends its diagnostics as people see them, under the name of
 * the file without its folder.  False when it cannot be read. */
bool diagnose_file(const char *path, struct text *out);

#endif
