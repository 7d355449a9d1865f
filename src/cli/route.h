/* route.h - `draw --path R3`: a sequence through the diagram of situations. */
#ifndef KEEPCLEAR_CLI_ROUTE_H
#define KEEPCLEAR_CLI_ROUTE_H

#include <stdint.h>

struct map;
struct map_path;
struct shortest;
struct study;

/* How many of the declared faults appear in the sequence. */
uint32_t route_faults(const struct shortest *found);

/* The sequence as a path through the map, in the study's arena; NULL: there is
 * no sequence, or the map is not whole.  What does not fit is an internal
 * error of the study. */
const struct map_path *route_find(struct study *study, const struct map *map,
                                  const struct shortest *found);

#endif
