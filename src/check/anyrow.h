/* anyrow.h - the choice rows of open places (code.h says which place takes
 * which row).
 *
 * Each POU has a width: the rows that one execution of it may take, those of
 * what it calls included.  A comparison or value whose operands are nothing
 * but variables that no text writes has one row for all the places where it
 * stands in the same words: it cannot come out both ways within a scan.
 */
#ifndef KEEPCLEAR_CHECK_ANYROW_H
#define KEEPCLEAR_CHECK_ANYROW_H

#include "check/flow.h"

/* Numbers all places and adds their rows, behind those that are there. */
void anyrow_make(struct draft *draft, const struct flow *flow);

#endif
