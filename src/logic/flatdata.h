/* flatdata.h - a slice as data (JSON, RFC 8259), for a program that evaluates
 * it elsewhere.
 *
 *     {"nodes":   [[op, a, b, c], ...],  children before parents; op is the
 *                                        number of enum flat_op; [0, value]
 *                                        for a constant
 *      "wide":    [node, ...],           those with values beyond 2^53
 *      "choices": [[kind, rest, value, ...], ...],
 *      "cells":   [[first, next], ...],  and so are
 *      "assumptions": [[number, first, next], ...], "watches", "values"}
 *
 * Numbers beyond 2^53 are written as strings: many readers keep only so
 * much of a number.  No words of the user stand in it.
 */
#ifndef KEEPCLEAR_LOGIC_FLATDATA_H
#define KEEPCLEAR_LOGIC_FLATDATA_H

struct slice;
struct text;

/* Same slice, same bytes.  n_choices rows are those of the flat logic, whether
 * the slice reads them or not. */
void flatdata_add(struct text *out, const struct slice *slice);

#endif
