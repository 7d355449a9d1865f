/* map.h - what is reachable, seen by a few chosen variables.
 *
 * A node is one combination of values of the chosen variables at a judging;
 * an edge leads from one node to another where some scan does, in some
 * reachable situation.  Everything else of a situation is left out, so an
 * edge says that there is a situation behind the node from which it leads
 * on, not that it leads on from all of them.
 */
#ifndef KEEPCLEAR_STUDY_MAP_H
#define KEEPCLEAR_STUDY_MAP_H

#include <stdbool.h>
#include <stdint.h>

#include "study/findings.h"
#include "study/label.h"
#include "study/shown.h"
#include "study/study.h"

/* Beyond these a map is given up (too_many). */
enum { MAP_MOST_NODES = 2000, MAP_MOST_EDGES = 20000 };

struct map_node {
    const int64_t *value; /* per chosen variable */
    bool first;           /* can be seen at the first judging */
    uint64_t situations;  /* in which it can be seen */
};

/* A condition that labels speak of; bit i of a word stands for value i.
 * MAP_STOOD is asked only of edges along which a chosen variable of the
 * machine changes: what the actuator was at the judging before. */
struct map_condition {
    enum { MAP_CHOICE, MAP_MOVE, MAP_STOOD } kind;
    uint32_t index;         /* choice row; MAP_MOVE: slot of the machine;
                               MAP_STOOD: slot of the actuator, a BOOL */
    const int64_t *from, *to; /* MAP_MOVE: per bit the change; bit 0: none,
                                 bit 63: any other */
    uint64_t full;
    bool rest_is_silent;    /* value 0 alone is not worth a word: no fault
                               appears, nothing moves, power is on, the
                               actuator was off */
};

struct map_edge {
    uint32_t from, to; /* nodes, never the same */
    struct label label;
};

struct map_path;

struct map {
    const struct model *model;
    const struct shown *shown;
    uint32_t n_shown;
    uint32_t faults;                  /* at most so many ever appear */
    const struct map_node *nodes;     /* first ones first, then as found */
    uint32_t n_nodes;
    const struct map_edge *edges;     /* by from, then to */
    uint32_t n_edges;
    const struct map_condition *conditions;
    uint32_t n_conditions;
    struct coverage coverage;
    enum stop_reason stop;            /* STOP_ERROR_OPEN too: then some of it
                                         may lie behind a run-time error */
    uint64_t errors_away;             /* 0, or so many scans before which an
                                         error cannot occur that is not
                                         excluded behind them */
    bool errors;                      /* paths that end in a run-time error
                                         end here as well */
    bool dead_end;                    /* the assumptions leave no way on
                                         somewhere */
    const struct taken *taken; /* NULL: not asked */
    const struct map_path *path; /* drawn into it, or NULL */
    bool too_many;                    /* nodes or edges: not all are here, and
                                         no edges */
};

/* Explores with movement times.  All lies in the study's arena. */
const struct map *map_build(struct study *study,
                            const struct shown_list *shown, uint32_t faults);

/* The chosen variables to be kept so that at most `nodes` nodes and `edges`
 * edges are left, by leaving out those first that save most; at least one is
 * kept.  n_shown flags in the arena. */
const bool *map_coarser(const struct map *map, uint32_t nodes,
                        uint32_t edges, struct arena *arena);

#endif
