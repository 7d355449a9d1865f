/* build_stmt.h - constructors of statements. */
#ifndef KEEPCLEAR_LANG_BUILD_STMT_H
#define KEEPCLEAR_LANG_BUILD_STMT_H

#include "lang/build_parts.h"

struct reading;

struct tree_stmt *build_empty(struct reading *reading, struct span span);
struct tree_stmt *build_assign(struct reading *reading,
                               struct tree_path *target,
                               struct tree_expr *value, struct span span);

/* `x = 5;`: reported, gives the assignment that was meant. */
struct tree_stmt *build_assign_with_equals(struct reading *reading,
                                           struct tree_path *target,
                                           struct tree_expr *value,
                                           struct span where);
struct tree_stmt *build_invoke(struct reading *reading,
                               struct tree_path *path, struct chain args,
                               struct span span);

/* condition NULL: ELSE or a branch of MAY. */
struct tree_branch *build_branch(struct reading *reading,
                                 struct tree_expr *condition,
                                 struct chain body, struct span span);

/* more: of tree_branch; last: the ELSE branch or NULL. */
struct tree_stmt *build_if(struct reading *reading,
                           struct tree_branch *first, struct chain more,
                           struct tree_branch *last, struct span span);
struct tree_stmt *build_case(struct reading *reading,
                             struct tree_expr *value, struct chain branches,
                             struct tree_branch *last, struct span span);
struct tree_stmt *build_may(struct reading *reading, struct chain branches,
                            struct span span);

/* high NULL: a single value. */
struct tree_label *build_label(struct reading *reading,
                               struct tree_expr *low,
                               struct tree_expr *high, struct span span);
struct tree_branch *build_case_branch(struct reading *reading,
                                      struct chain labels,
                                      struct span span);

/* Adds the statement to the last branch; before the first label it is
 * reported. */
struct chain build_case_statement(struct reading *reading,
                                  struct chain branches,
                                  struct tree_stmt *stmt);

/* A statement that is not read; gives an empty one. */
struct tree_stmt *build_refused(struct reading *reading, const char *word,
                                struct span where);

#endif
