/* sway.h - which way a variable pushes others, roughly.
 *
 * Followed through assignments, conditions and blocks without regard to when
 * they run: good for a guess about the contacts of a stop, and for nothing
 * that is said of a result.
 */
#ifndef KEEPCLEAR_STUDY_SWAY_H
#define KEEPCLEAR_STUDY_SWAY_H

#include <stdbool.h>
#include <stdint.h>

struct arena;
struct model;
struct sway;

struct sway *sway_of(struct arena *arena, const struct model *model);

/* 1: the nearest way from a slot to another keeps the sign, so that TRUE
 * helps TRUE; -1: it turns it round; 0: there is no way, or both. */
int sway_between(const struct sway *sway, uint32_t from, uint32_t to);

/* Is its value remembered as it is, or given to an edge block: is a press
 * of it looked for? */
bool sway_remembered(const struct sway *sway, uint32_t slot);

#endif
