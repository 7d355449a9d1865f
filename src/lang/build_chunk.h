/* build_chunk.h - w.%B1, w.%W0, w.%D1: bytes and words of bit strings, read as
 * what they stand for: TO_BYTE (SHR (w, 8)).
 */
#ifndef KEEPCLEAR_LANG_BUILD_CHUNK_H
#define KEEPCLEAR_LANG_BUILD_CHUNK_H

#include "lang/build_parts.h"

struct reading;

/* The value of the part `where` of path. */
struct tree_expr *build_chunk(struct reading *reading,
                              struct tree_path *path, struct span where);

/* path . part := value; */
struct tree_stmt *build_assign_chunk(struct reading *reading,
                                     struct tree_path *path,
                                     struct span where,
                                     struct tree_expr *value);

#endif
