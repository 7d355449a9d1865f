/* build_loop.h - constructors of loops, of what leaves them, and of set and
 * reset. */
#ifndef KEEPCLEAR_LANG_BUILD_LOOP_H
#define KEEPCLEAR_LANG_BUILD_LOOP_H

#include "lang/build_parts.h"

struct reading;

/* `x S= c`: IF c THEN x := TRUE, and `x R= c`: FALSE; said once per text. */
struct tree_stmt *build_assign_when(struct reading *reading,
                                    struct tree_path *target,
                                    struct tree_expr *condition, bool value,
                                    struct span where);

/* FOR target := from TO to BY by; by NULL: 1. */
struct build_count {
    struct tree_expr *from, *to, *by;
};
struct tree_stmt *build_for(struct reading *reading,
                            struct tree_path *target,
                            struct build_count count, struct chain body,
                            struct span span);

/* TREE_WHILE, TREE_REPEAT. */
struct tree_stmt *build_loop(struct reading *reading,
                             enum tree_stmt_kind kind,
                             struct tree_expr *condition, struct chain body,
                             struct span span);

/* TREE_EXIT, TREE_CONTINUE, TREE_RETURN. */
struct tree_stmt *build_leave(struct reading *reading,
                              enum tree_stmt_kind kind, struct span span);

#endif
