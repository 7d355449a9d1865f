/* configuration.h - which programs a CONFIGURATION runs, and how often. */
#ifndef KEEPCLEAR_CHECK_CONFIGURATION_H
#define KEEPCLEAR_CHECK_CONFIGURATION_H

#include "check/draft.h"

/* Refuses what is more than one cyclic task. */
void configuration_check(struct draft *draft);

/* The INTERVAL of the one task, or NULL. */
const struct tree_expr *configuration_interval(const struct tree_run *run);

#endif
