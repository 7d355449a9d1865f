/* long_program.h - a control text of about 2,000 lines, as a project of some
 * years has it: an indexing table with twelve stations (invented). */
#ifndef KEEPCLEAR_TESTS_SUPPORT_LONG_PROGRAM_H
#define KEEPCLEAR_TESTS_SUPPORT_LONG_PROGRAM_H

#include <stdbool.h>

struct text;

/* Appends it.  Four of the blocks that it calls have no text: DriveAxis,
 * LinkWatch, RecipeStore, ScannerEye.  linked: the table waits for all
 * stations, so that everything depends on everything. */
void long_program_write(struct text *out, bool linked);

#endif
