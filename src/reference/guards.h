/* guards.h - hooks by which the interpreter tells under what its statements
 * run; as in tracing.h each does nothing but while it is recorded.
 *
 * A guard is entered with its branch and left behind it.  Where the branch
 * can lead away (EXIT, CONTINUE, RETURN), what stands behind runs because it
 * did not: then the guard stays until what can be left has ended.  So do the
 * passes of a loop, each within the one before.
 */
#ifndef KEEPCLEAR_REFERENCE_GUARDS_H
#define KEEPCLEAR_REFERENCE_GUARDS_H

#include "reference/scan.h"
#include "reference/trace.h"

/* A branch is entered, or none; its conditions lie on the stack from depth
 * on.  Gives back what guards_back takes. */
const struct trace_guard *guards_enter(struct scan *scan, uint32_t base,
                                       const struct code_stmt *stmt,
                                       uint32_t taken, uint32_t depth);

/* The guard under which statements run now, and back to it. */
const struct trace_guard *guards_now(const struct scan *scan);
void guards_back(struct scan *scan, const struct trace_guard *outer);

/* The running branch leads away by this statement. */
void guards_leave(struct scan *scan, const struct code_stmt *stmt);

#endif
