/* build_review.h - constructors of the other sections of a review text;
 * what they make is added to the review of the run. */
#ifndef KEEPCLEAR_LANG_BUILD_REVIEW_H
#define KEEPCLEAR_LANG_BUILD_REVIEW_H

#include "lang/build_requirement.h"

struct reading;

/* Names the review; a second one is reported. */
void build_review(struct reading *reading, struct tree_ident *name,
                  struct tree_string title, struct span span);
void build_control_file(struct reading *reading, struct tree_string path);
void build_scan(struct reading *reading, struct tree_scan scan,
                struct span span);
void build_runs(struct reading *reading, struct tree_ident *name,
                struct tree_expr *every);
void build_power(struct reading *reading, enum tree_power power,
                 struct tree_reason reason, struct span span);
void build_retain_any(struct reading *reading);
void build_fixed(struct reading *reading, struct tree_path *path,
                 struct tree_expr *value, struct tree_reason reason,
                 struct span span);
void build_shared(struct reading *reading, struct tree_path *path);
void build_types_review(struct reading *reading, struct chain decls);

/* name NULL for wiring. */
void build_body(struct reading *reading, enum tree_body_kind kind,
                struct tree_ident *name, struct build_parts parts,
                struct span span);
struct tree_movement *build_movement(struct reading *reading,
                                     struct tree_path *variable,
                                     struct build_movement movement,
                                     struct span span);
void build_assumption(struct reading *reading, struct tree_ident *name,
                      struct tree_string title, struct build_claim claim,
                      struct span span);

/* No places: IN MECHANISM; other: of SHORT TO. */
struct tree_fault *build_fault_kind(struct reading *reading,
                                    enum tree_fault_kind kind,
                                    struct chain places,
                                    struct tree_path *other);
void build_fault(struct reading *reading, struct tree_ident *name,
                 struct tree_string title, struct tree_fault *fault,
                 struct span span);
void build_hazard(struct reading *reading, struct tree_ident *name,
                  struct tree_string title);

#endif
