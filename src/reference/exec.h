/* exec.h - statements and calls. */
#ifndef KEEPCLEAR_REFERENCE_EXEC_H
#define KEEPCLEAR_REFERENCE_EXEC_H

#include "reference/scan.h"

/* Makes function calls of expressions possible; once per scan structure. */
void exec_init(struct scan *scan);

/* Runs a program whose frame begins at a slot. */
void exec_program(struct scan *scan, const struct program *program);

/* Runs a review text. */
void exec_body(struct scan *scan, const struct body *body);

#endif
