/* plain.h - expressions that are not what they look like: conditions that
 * never change, elapsed times compared for equality. */
#ifndef KEEPCLEAR_CHECK_ADVICE_PLAIN_H
#define KEEPCLEAR_CHECK_ADVICE_PLAIN_H

#include "check/advice/subject.h"

void plain_advise(const struct subject *subject);

#endif
