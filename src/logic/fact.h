/* fact.h - what is known about values when an expression is known to hold
 * (or to fail), as far as a short look tells.
 *
 * Expects expressions in the form that relate.h makes: a comparison with a
 * constant is `x = k` or `x <= k` or `k <= x`, no FLAT_LT.
 */
#ifndef KEEPCLEAR_LOGIC_FACT_H
#define KEEPCLEAR_LOGIC_FACT_H

#include "logic/flat.h"
#include "logic/range.h"

/* Value `of` lies in the range; with except: anywhere else. */
struct fact {
    flat_expr of;
    bool except;
    struct range range;
};

enum { FACTS_MOST = 16 };

struct facts {
    struct fact at[FACTS_MOST];
    uint32_t n;
};

/* What follows from the boolean expr having the value holds. */
void facts_from(struct facts *facts, const struct flat_node *nodes,
                flat_expr expr, bool holds);

/* Value of the boolean expr under the facts: 0, 1, or -1 for unknown. */
int facts_decide(const struct facts *facts, const struct flat_node *nodes,
                 flat_expr expr);

/* The range of expr under the facts; false when they contradict it. */
bool facts_range(const struct facts *facts, const struct flat_node *nodes,
                 flat_expr expr, struct range *range);

/* The smaller expression that expr equals under the facts; expr itself when
 * nothing was found.  It is one that exists already: constants are left to
 * facts_decide and facts_range. */
flat_expr facts_reduce(const struct facts *facts,
                       const struct flat_node *nodes, flat_expr expr);

#endif
