/* faultclass.h - what a set of faults does to all that was asked. */
#ifndef KEEPCLEAR_STUDY_FAULTCLASS_H
#define KEEPCLEAR_STUDY_FAULTCLASS_H

#include "study/faults.h"

enum fault_class {
    FAULT_NO_EFFECT,   /* breaks nothing that was asked: that is not safe */
    FAULT_SAFE,        /* all that it breaks is the possibility of something,
                          and stands against no hazard */
    FAULT_NOTICED,     /* breaks something; always noticed, before the next
                          demand or within a work cycle */
    FAULT_UNNOTICED,   /* breaks something; not always noticed */
    FAULT_NOTICE_OPEN, /* breaks something; whether it is noticed is not
                          asked, not decided or not finished */
    FAULT_OPEN         /* no breach found, and not all was looked at */
};

/* Of exactly these causes. */
enum fault_class fault_class_of(const struct fault_findings *found,
                                const uint32_t *causes, uint32_t n);

/* What is noticed of these causes, studied alone or as a set that breaks
 * something; NULL: it was not asked. */
const struct noticed_finding *
fault_notice(const struct fault_findings *found, const uint32_t *causes,
             uint32_t n);

/* "dangerous, always noticed" ... */
const char *fault_class_words(enum fault_class class);

#endif
