/* subject.h - the unit that is looked at. */
#ifndef KEEPCLEAR_CHECK_ADVICE_SUBJECT_H
#define KEEPCLEAR_CHECK_ADVICE_SUBJECT_H

#include "check/advice/trail.h"
#include "check/draft.h"

struct subject {
    struct draft *draft;
    struct unit *unit;
    struct trail trail; /* of its body */
};

#endif
