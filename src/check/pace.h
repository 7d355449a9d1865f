/* pace.h - how long the scans of a model take, and when its programs run. */
#ifndef KEEPCLEAR_CHECK_PACE_H
#define KEEPCLEAR_CHECK_PACE_H

#include <stdbool.h>
#include <stdint.h>

struct model;

/* The choice row of the time that a scan takes; MODEL_NONE: all take
 * model->scan. */
uint32_t pace_row(const struct model *model);

/* The shortest scan, ms; the longest is model->scan. */
int64_t pace_shortest(const struct model *model);

/* All times that a scan can take are multiples of it, ms; model->scan where
 * all take the same. */
int64_t pace_step(const struct model *model);

/* The time of a scan with these choices (value indices), ms. */
int64_t pace_of(const struct model *model, const uint32_t *choices);

/* The program whose input this slot is and which need not run in every scan;
 * MODEL_NONE: it is sampled in every scan.  A SHARED variable is no input:
 * others write it whenever they like. */
uint32_t pace_sampler(const struct model *model, uint32_t slot);

#endif
