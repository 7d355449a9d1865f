/* away.h - what is too far away to be looked for. */
#ifndef KEEPCLEAR_STUDY_AWAY_H
#define KEEPCLEAR_STUDY_AWAY_H

#include <stdint.h>

#include "logic/distance.h"
#include "study/question.h"

/* What cannot occur within so many scans from power-up is not looked for by
 * walking there. */
enum { AWAY_SCANS = 1000000 };

/* How many scans surely pass before watch `watch` of the flat logic, asked
 * for in the answer's question: 0 where these are few enough to walk there,
 * DISTANCE_NEVER where it never holds. */
uint64_t away_from(const struct answer *answer, uint32_t watch);

#endif
