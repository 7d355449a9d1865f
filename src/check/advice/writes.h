/* writes.h - values that are lost or overridden within a scan. */
#ifndef KEEPCLEAR_CHECK_ADVICE_WRITES_H
#define KEEPCLEAR_CHECK_ADVICE_WRITES_H

#include "check/advice/subject.h"

void writes_advise(const struct subject *subject);

/* Variables that two programs write. */
void writes_advise_programs(struct draft *draft);

#endif
