/* build_expr.h - constructors of names and expressions.
 *
 * Nodes live in the arena of the reading; no result is NULL.
 */
#ifndef KEEPCLEAR_LANG_BUILD_EXPR_H
#define KEEPCLEAR_LANG_BUILD_EXPR_H

#include "lang/chain.h"
#include "lang/tree.h"

struct reading;

/* The identifier that stands at span. */
struct tree_ident *build_ident(struct reading *reading, struct span span);

struct tree_expr *build_ref(struct reading *reading,
                            struct tree_path *path);
/* kind: TREE_ELEMENTS, TREE_FIELDS, or, with its number, TREE_REPEATED. */
struct tree_expr *build_values(struct reading *reading, int kind,
                               const struct tree_expr *number,
                               struct chain args, struct span span);
struct tree_expr *build_bool(struct reading *reading, bool value,
                             struct span span);
struct tree_expr *build_unary(struct reading *reading, enum tree_op op,
                              struct span op_span, struct tree_expr *left);
struct tree_expr *build_binary(struct reading *reading, enum tree_op op,
                               struct span op_span, struct tree_expr *left,
                               struct tree_expr *right);

/* left ** right: refused, gives left. */
struct tree_expr *build_power_of(struct reading *reading,
                                 struct span op_span,
                                 struct tree_expr *left,
                                 struct tree_expr *right);

/* The same expression, marked as written in ( ). */
struct tree_expr *build_paren(struct reading *reading,
                              struct tree_expr *expr, struct span span);

/* args: of tree_arg. */
struct tree_expr *build_call(struct reading *reading,
                             struct tree_path *path, struct chain args,
                             struct span span);

/* kind: TREE_PRESSED, TREE_READ, TREE_COMMANDED. */
struct tree_expr *build_signal_term(struct reading *reading, int kind,
                                    struct tree_path *path,
                                    struct span span);

/* kind: TREE_PREVIOUS, TREE_RISING, TREE_FALLING. */
struct tree_expr *build_past(struct reading *reading, int kind,
                             struct tree_expr *left, struct span span);

struct tree_expr *build_true_for(struct reading *reading,
                                 struct tree_expr *left,
                                 struct tree_expr *limit, bool sampled,
                                 struct span span);

/* name NULL: by position; output: name => value. */
struct tree_arg *build_arg(struct reading *reading, struct tree_ident *name,
                           struct tree_expr *value, bool output,
                           struct span span);

#endif
