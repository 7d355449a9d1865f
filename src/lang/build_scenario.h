/* build_scenario.h - constructors of SCENARIO sections. */
#ifndef KEEPCLEAR_LANG_BUILD_SCENARIO_H
#define KEEPCLEAR_LANG_BUILD_SCENARIO_H

#include "lang/chain.h"
#include "lang/review.h"

struct reading;

/* A step without place yet; path and value as far as the kind has them. */
struct tree_step *build_step(struct reading *reading,
                             enum tree_step_kind kind,
                             struct tree_path *path,
                             struct tree_expr *value);

/* FAULT name, EXPECT BROKEN name. */
struct tree_step *build_step_name(struct reading *reading,
                                  enum tree_step_kind kind,
                                  struct tree_ident *name);

/* EXPECT ... 'why' */
struct tree_step *build_step_why(struct tree_step *step,
                                 struct tree_string why);

/* Gives the step its place. */
struct tree_step *build_step_at(struct tree_step *step, struct span span);

/* Adds the scenario to the review; steps are tree_step. */
void build_scenario(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct chain steps,
                    struct span span);

#endif
