/* away.h - what is too far away to be looked for. */
#ifndef KEEPCLEAR_STUDY_AWAY_H
#define KEEPCLEAR_STUDY_AWAY_H

#include <stdint.h>

#include "logic/distance.h"
#include "study/question.h"

struct model;

/* What cannot occur within so many scans from power-up is not looked for by
 * walking there: without a review text, which is a first look, less far. */
uint64_t away_walked(const struct model *model);

/* How many scans surely pass before watch `watch` of the flat logic, asked
 * for in the answer's question: 0 where these are few enough to walk there,
 * DISTANCE_NEVER where it never holds. */
uint64_t away_from(const struct study *study, const struct answer *answer,
                   uint32_t watch);

#endif
