/* build_edge.h - inputs with R_EDGE and F_EDGE.
 *
 * `x : BOOL R_EDGE;` is read as an input x and an R_TRIG of its own, which is
 * called with x before the body; within the body x is its Q.
 */
#ifndef KEEPCLEAR_LANG_BUILD_EDGE_H
#define KEEPCLEAR_LANG_BUILD_EDGE_H

#include "lang/build_parts.h"

struct reading;

/* Inputs with an edge; `word` is R_EDGE or F_EDGE. */
struct chain build_edges(struct reading *reading, struct chain vars,
                         struct tree_type *type, struct span word);

/* A path that begins with this name. */
struct tree_path *build_edge_path(struct reading *reading,
                                  struct tree_ident *ident);

/* The name of a POU: edges of the one before are forgotten. */
struct tree_ident *build_heading(struct reading *reading,
                                 struct tree_ident *ident);

/* Puts the instances and their calls into a POU. */
void build_edge_calls(struct reading *reading, struct tree_pou *pou);

#endif
