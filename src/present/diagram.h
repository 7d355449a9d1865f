/* diagram.h - the situation diagram as DOT text and in words. */
#ifndef KEEPCLEAR_PRESENT_DIAGRAM_H
#define KEEPCLEAR_PRESENT_DIAGRAM_H

#include <stdbool.h>

struct map;
struct sources;
struct text;

/* Beyond these no picture is drawn: nobody could read it, and laying it out
 * takes too long. */
enum { DIAGRAM_MOST_NODES = 100, DIAGRAM_MOST_EDGES = 200 };

bool diagram_fits(const struct map *map);

/* The picture; the map must fit.  Nodes have the ids n1, n2, ..., edges e1,
 * e2, ... in the order of the map.  Long labels are numbered and told under
 * the picture, with what a label claims. */
void diagram_dot(struct text *out, const struct map *map,
                 const struct sources *sources);

/* All nodes and edges as sentences. */
void diagram_text(struct text *out, const struct map *map,
                  const struct sources *sources);

#endif
