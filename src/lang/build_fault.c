#include "lang/build_fault.h"

#include "base/arena.h"

#define NEW(reading, type) ARENA_NEW((reading)->context->arena, type)

struct tree_fault *build_fault_displaced(struct tree_fault *fault,
                                         struct tree_expr *by)
{
    fault->by = by;
    return fault;
}

static void said_twice(struct reading *reading, bool twice, struct span span,
                       const char *what)
{
    if (twice)
        reading_error(reading, span, "leave one of the two out",
                      "this fault says twice %s", what);
}

struct tree_fault *build_fault_timing(struct reading *reading,
                                      struct tree_fault *fault,
                                      enum tree_fault_timing timing,
                                      struct span span)
{
    said_twice(reading, fault->timing != TREE_PERMANENT, span,
               "when it is there");
    fault->timing = timing;
    return fault;
}

struct tree_fault *build_fault_follows(struct reading *reading,
                                       struct tree_fault *fault,
                                       struct tree_ident *first)
{
    said_twice(reading, fault->follows != NULL, first->span,
               "what it follows from");
    fault->follows = first;
    return fault;
}

struct tree_fault *build_fault_excluded(struct reading *reading,
                                        struct tree_fault *fault,
                                        struct tree_reason reason,
                                        struct span span)
{
    said_twice(reading, fault->excluded, span, "that it is EXCLUDED");
    fault->excluded = true;
    fault->reason = reason;
    return fault;
}

void build_fault_group(struct reading *reading, struct tree_ident *name,
                       struct tree_string title, struct chain members)
{
    struct tree_fault_group *group = NEW(reading, struct tree_fault_group);

    group->name = name;
    group->title = title;
    CHAIN_INTO(&group->members, members);
    CHAIN_APPEND(&reading->run->review.fault_groups, group);
}
