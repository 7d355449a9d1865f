/* build_requirement.h - constructors of requirements. */
#ifndef KEEPCLEAR_LANG_BUILD_REQUIREMENT_H
#define KEEPCLEAR_LANG_BUILD_REQUIREMENT_H

#include "lang/build_parts.h"

struct reading;

/* A requirement without name yet; a, b, c as far as the form has them. */
struct tree_requirement *build_form(struct reading *reading,
                                    enum tree_form form,
                                    struct tree_expr *a,
                                    struct tree_expr *b,
                                    struct tree_expr *c);

/* NEVER ... BY ITSELF; lists of tree_expr, cycle may be NULL. */
struct tree_requirement *build_events(struct reading *reading,
                                      struct chain started,
                                      struct tree_expr *cycle,
                                      struct chain cancelled);

/* ALWAYS POSSIBLE AGAIN; along is the WHILE or NULL, by a list of tree_expr,
 * each a bare name, empty for everybody. */
struct tree_requirement *build_again(struct reading *reading,
                                     struct tree_expr *goal,
                                     struct tree_expr *along,
                                     struct chain by);

/* Each gives back requirement. */
struct tree_requirement *
build_limit(struct tree_requirement *requirement, struct tree_expr *limit,
            bool sampled);
struct tree_requirement *
build_by_itself(struct tree_requirement *requirement, struct tree_expr *y);

/* EXCEPT with what stands before it. */
struct build_despite build_despite(struct build_despite except,
                                   struct tree_expr *number,
                                   struct chain of, bool another);

/* Names the requirement and adds it to the review. */
void build_requirement(struct reading *reading,
                       struct tree_requirement *requirement,
                       struct build_heading heading, struct span span);

#endif
