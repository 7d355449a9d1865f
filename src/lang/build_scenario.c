#include "lang/build_scenario.h"

#include "base/arena.h"
#include "lang/reading.h"

#define NEW(reading, type) ARENA_NEW((reading)->context->arena, type)

struct tree_step *build_step(struct reading *reading,
                             enum tree_step_kind kind,
                             struct tree_path *path,
                             struct tree_expr *value)
{
    struct tree_step *step = NEW(reading, struct tree_step);

    step->kind = kind;
    step->path = path;
    step->value = value;
    return step;
}

struct tree_step *build_step_name(struct reading *reading,
                                  enum tree_step_kind kind,
                                  struct tree_ident *name)
{
    struct tree_step *step = build_step(reading, kind, NULL, NULL);

    step->name = name;
    return step;
}

struct tree_step *build_step_why(struct tree_step *step,
                                 struct tree_string why)
{
    step->why = why;
    return step;
}

struct tree_step *build_step_at(struct tree_step *step, struct span span)
{
    step->span = span;
    return step;
}

void build_scenario(struct reading *reading, struct tree_ident *name,
                    struct tree_string title, struct chain steps,
                    struct span span)
{
    struct tree_scenario *made = NEW(reading, struct tree_scenario);

    made->name = name;
    made->title = title;
    CHAIN_INTO(&made->steps, steps);
    made->span = span;
    CHAIN_APPEND(&reading->run->review.scenarios, made);
}
