/* course.h - one scan of a model, from power to judging. */
#ifndef KEEPCLEAR_LOWER_COURSE_H
#define KEEPCLEAR_LOWER_COURSE_H

#include "lower/sym.h"

/* Runs every text of the model once in a scan made by sym_init: the
 * environment holds each variable at the judging, all results of struct sym
 * are filled. */
void course_run(struct sym *sym);

/* Then: every cell gets its next value, and the environment holds variables
 * as they are stored. */
void course_keep(struct sym *sym);

#endif
