/* mapwords.h - the records of a situation diagram in words. */
#ifndef KEEPCLEAR_PRESENT_MAPWORDS_H
#define KEEPCLEAR_PRESENT_MAPWORDS_H

#include <stdint.h>

struct map;
struct map_edge;
struct text;

/* "gap Narrow", "lower_valve on", "left closing button held": the value of
 * chosen variable number `shown`. */
void mapwords_value(struct text *out, const struct map *map, uint32_t shown,
                    int64_t value);

/* The values of a node, `between` between them. */
void mapwords_node(struct text *out, const struct map *map, uint32_t node,
                   const char *between);

/* What an edge's label says, one short sentence per line:
 *     left closing button held
 *     reset button released
 * groups as "either ...", "or ..."; its last line is "and more" where not
 * all is told. */
void mapwords_lines(struct text *out, const struct map *map,
                    const struct map_edge *edge);

/* The same as one sentence: "only with left closing button held and reset
 * button released". */
void mapwords_sentence(struct text *out, const struct map *map,
                       const struct map_edge *edge);

#endif
