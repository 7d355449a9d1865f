/* build_data.h - DATA_BLOCK: a global variable that is a structure, or what
 * the type or block after its name holds, with start values behind BEGIN. */
#ifndef KEEPCLEAR_LANG_BUILD_DATA_H
#define KEEPCLEAR_LANG_BUILD_DATA_H

#include "lang/build_parts.h"

struct reading;

/* starts: of tree_stmt. */
void build_data_block(struct reading *reading, struct tree_ident *name,
                      struct build_data data, struct chain starts,
                      struct span span);

#endif
