/* cause.h - what the faults are counted by: groups, what FOLLOWS FROM what,
 * and which moments are a fault's own. */
#ifndef KEEPCLEAR_CHECK_CAUSE_H
#define KEEPCLEAR_CHECK_CAUSE_H

#include "check/draft.h"

/* Makes the causes, in declared order; all faults are declared. */
void cause_declare(struct draft *draft);

/* DESPITE n OF: the cause of that name is chosen, or a mistake is reported. */
void cause_choose(struct draft *draft, const struct tree_ident *ident,
                  bool *chosen);

#endif
