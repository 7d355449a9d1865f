/* loop.h - FOR, WHILE, REPEAT, pass by pass. */
#ifndef KEEPCLEAR_REFERENCE_LOOP_H
#define KEEPCLEAR_REFERENCE_LOOP_H

#include "reference/scan.h"

/* How a list of statements ended. */
enum leaving { STAYED, LEFT_PASS, LEFT_LOOP, LEFT_POU };

/* Runs a list of statements: they stand above loops, so the way back up is
 * handed down. */
typedef enum leaving loop_body(struct scan *scan, const struct frame *frame,
                               const struct code_stmt *stmts, uint32_t n);

/* Runs a loop; STAYED or LEFT_POU. */
enum leaving loop_run(struct scan *scan, const struct frame *frame,
                      const struct code_stmt *stmt, loop_body *body);

#endif
