/* tracing.h - hooks by which the interpreter tells what it does.
 *
 * Inside of the machine.  scan->tracing is NULL but while record.h records;
 * each hook then does nothing.  Evaluated expressions lie on a stack until
 * a statement takes them.
 */
#ifndef KEEPCLEAR_REFERENCE_TRACING_H
#define KEEPCLEAR_REFERENCE_TRACING_H

#include "reference/scan.h"
#include "reference/trace.h"

struct arena;

/* A new record under way, in the arena; first: the scan that it begins with,
 * from 1. */
struct tracing *tracing_new(struct arena *arena, const struct model *model,
                            uint32_t requirement, uint32_t first);

/* The values before the scan that runs next, the first to be recorded, and
 * when the scan before was judged, ms; then the record as it stands.  state
 * and choices as for the machine. */
void tracing_start(struct tracing *tracing, const struct layout *layout,
                   const int64_t *state, const uint32_t *choices,
                   int64_t time);
const struct trace *tracing_end(struct tracing *tracing);

/* The scan begins, its faults having appeared, and ends. */
void tracing_scan(struct scan *scan);
void tracing_scanned(struct scan *scan);

/* An expression was evaluated; slot: of a variable that it is. */
void tracing_expr(struct scan *scan, const struct code_expr *expr,
                  int64_t value, uint32_t slot);

/* What TRUE FOR number `index` holds, or the ON WHEN of a sensor, was
 * evaluated last; CODE_ANY: choice row `index` of an open place was just
 * looked at, the expression follows. */
void tracing_held(struct scan *scan, enum code_op op, uint32_t index);

/* Depth of the stack, and back to it. */
uint32_t tracing_depth(const struct scan *scan);
void tracing_cut(struct scan *scan, uint32_t depth);

/* A slot was given a value.  The event's kind, span and particulars are
 * given; `depth` is where its node lies on the stack, its n_indices behind
 * it, or TRACING_NO_NODE. */
void tracing_event(struct scan *scan, uint32_t slot, uint32_t depth,
                   struct trace_event event);
#define TRACING_NO_NODE UINT32_MAX

/* A line conducts this value. */
void tracing_line(struct scan *scan, uint32_t line, int64_t value);

/* A standard block was called; `before` are the values of its frame when it
 * was. */
void tracing_block(struct scan *scan, const struct code_pou *pou,
                   uint32_t frame, const int64_t *before, struct span span);

/* The expressions of a requirement were evaluated, in the order a,
 * a_previous .. as monitor.c does, from depth on; flag: memory afterwards. */
void tracing_judged(struct scan *scan, uint32_t requirement, uint32_t depth,
                    bool flag);

#endif
