/* order.h - values read before they are there. */
#ifndef KEEPCLEAR_CHECK_ADVICE_ORDER_H
#define KEEPCLEAR_CHECK_ADVICE_ORDER_H

#include "check/advice/subject.h"

void order_advise(const struct subject *subject);

#endif
