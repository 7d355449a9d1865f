/* course.h - does every way through a body do a thing? */
#ifndef KEEPCLEAR_CHECK_ADVICE_COURSE_H
#define KEEPCLEAR_CHECK_ADVICE_COURSE_H

#include "check/code.h"

/* The thing: a write of the variable at this offset, or a call of the
 * instance there. */
struct course {
    uint32_t offset;
    bool call;
    struct span unready; /* out: first read of it on a way that has not done
                            it yet; no place: none */
};

/* True when every way through the body has done it by its end. */
bool course_always(struct course *course, const struct code_pou *pou);

#endif
