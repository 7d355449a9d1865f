/* errors.h - can a run-time error be reached?
 *
 * Every error site is a requirement with a slice of its own.  The first
 * error ends a path; so the shortest sequence of all is genuine, and the
 * sites found so far end paths in the questions that follow.
 */
#ifndef KEEPCLEAR_STUDY_ERRORS_H
#define KEEPCLEAR_STUDY_ERRORS_H

#include "base/vec.h"
#include "study/findings.h"
#include "study/study.h"

struct errors {
    VEC(struct error_finding) found;
    uint32_t n_sites; /* looked at */
};

void errors_release(struct errors *errors);

/* Asks every site; the reachable ones are added to the study's ends. */
void errors_judge(struct study *study, struct errors *errors);

enum error_reach { ERROR_EXCLUDED, ERROR_REACHED, ERROR_OPEN };

/* Can this error, whose watch is given, occur, with the largest number of
 * faults of the run, before the nearest that is too far away? */
enum error_reach errors_reach(struct study *study, uint32_t watch);

#endif
