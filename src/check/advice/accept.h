/* accept.h - ACCEPTED: remarks that somebody answers for. */
#ifndef KEEPCLEAR_CHECK_ADVICE_ACCEPT_H
#define KEEPCLEAR_CHECK_ADVICE_ACCEPT_H

#include "check/draft.h"

/* Ties the lines of ACCEPTED to the remarks; one that fits none becomes a
 * remark itself.  Lines that accept an unguarded change are kept as they
 * are. */
void accept_all(struct draft *draft);

#endif
