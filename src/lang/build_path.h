/* build_path.h - constructors of paths: names, indices and bits in a row.
 *
 * Nodes live in the arena of the reading; no result is NULL.
 */
#ifndef KEEPCLEAR_LANG_BUILD_PATH_H
#define KEEPCLEAR_LANG_BUILD_PATH_H

#include "lang/chain.h"
#include "lang/tree.h"

struct reading;

struct tree_path *build_path(struct reading *reading,
                             struct tree_ident *ident);
struct tree_path *build_path_more(struct reading *reading,
                                  struct tree_path *path,
                                  struct tree_ident *ident);

/* path [ indices ], where `where` is from [ to ]. */
struct tree_path *build_path_index(struct reading *reading,
                                   struct tree_path *path,
                                   struct chain indices, struct span where);

/* path . bit */
struct tree_path *build_path_bit(struct reading *reading,
                                 struct tree_path *path,
                                 const struct tree_expr *bit);

/* path itself; what follows it (an index, ^) is refused. */
struct tree_path *build_refused_path(struct reading *reading,
                                     const char *construct,
                                     struct tree_path *path,
                                     struct span where);

#endif
