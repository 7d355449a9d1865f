/* build_chained.h - several assignments in one, `a := b := value;`.
 *
 * They are read from the right: b := value; a := b;  Each is a statement of
 * its own.
 */
#ifndef KEEPCLEAR_LANG_BUILD_CHAINED_H
#define KEEPCLEAR_LANG_BUILD_CHAINED_H

#include "lang/chain.h"
#include "lang/tree.h"

struct reading;

/* target := the target of the last of these assignments, behind them. */
struct chain build_linked(struct reading *reading, struct tree_path *target,
                          struct chain assignments);

/* The same with the leftmost target: the whole is complete.  An index that
 * depends on what is assigned in it, or on a call, is a mistake: nothing
 * says whether it is evaluated before or behind. */
struct chain build_chained(struct reading *reading,
                           struct tree_path *target,
                           struct chain assignments, struct span where);

/* Behind the label of a CASE. */
struct chain build_case_chained(struct reading *reading,
                                struct chain branches,
                                struct chain assignments);

#endif
