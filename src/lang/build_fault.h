/* build_fault.h - what is said of a fault behind its phrase, and groups. */
#ifndef KEEPCLEAR_LANG_BUILD_FAULT_H
#define KEEPCLEAR_LANG_BUILD_FAULT_H

#include "lang/chain.h"
#include "lang/reading.h"
#include "lang/review.h"

/* DISPLACED BY by ALONG along: of a fault with its places. */
struct tree_fault *build_fault_displaced(struct tree_fault *fault,
                                         struct tree_expr *by);

/* Each gives back the fault; what is said twice is reported. */
struct tree_fault *build_fault_timing(struct reading *reading,
                                      struct tree_fault *fault,
                                      enum tree_fault_timing timing,
                                      struct span span);
struct tree_fault *build_fault_follows(struct reading *reading,
                                       struct tree_fault *fault,
                                       struct tree_ident *first);
struct tree_fault *build_fault_excluded(struct reading *reading,
                                        struct tree_fault *fault,
                                        struct tree_reason reason,
                                        struct span span);
void build_fault_group(struct reading *reading, struct tree_ident *name,
                       struct tree_string title, struct chain members);

#endif
