#include "lang/build_requirement.h"

#include "base/arena.h"
#include "lang/reading.h"

struct tree_requirement *build_form(struct reading *reading,
                                    enum tree_form form,
                                    struct tree_expr *a,
                                    struct tree_expr *b,
                                    struct tree_expr *c)
{
    struct tree_requirement *made = ARENA_NEW(reading->context->arena,
                                              struct tree_requirement);

    made->form = form;
    made->a = a;
    made->b = b;
    made->c = c;
    return made;
}

struct tree_requirement *build_events(struct reading *reading,
                                      struct chain started,
                                      struct tree_expr *cycle,
                                      struct chain cancelled)
{
    struct tree_requirement *made =
        build_form(reading, TREE_BY_ITSELF, NULL, cycle, NULL);

    CHAIN_INTO(&made->started_by, started);
    CHAIN_INTO(&made->cancelled_by, cancelled);
    return made;
}

struct tree_requirement *build_again(struct reading *reading,
                                     struct tree_expr *goal,
                                     struct tree_expr *along,
                                     struct chain by)
{
    struct tree_requirement *made =
        build_form(reading, TREE_POSSIBLE_AGAIN, goal, along, NULL);

    CHAIN_INTO(&made->by, by);
    return made;
}

struct tree_requirement *
build_limit(struct tree_requirement *requirement, struct tree_expr *limit,
            bool sampled)
{
    requirement->limit = limit;
    requirement->sampled = sampled;
    return requirement;
}

struct tree_requirement *
build_by_itself(struct tree_requirement *requirement, struct tree_expr *y)
{
    requirement->a = y;
    return requirement;
}

struct build_despite build_despite(struct build_despite except,
                                   struct tree_expr *number,
                                   struct chain of, bool another)
{
    except.number = number;
    except.of = of;
    except.another = another;
    return except;
}

void build_requirement(struct reading *reading,
                       struct tree_requirement *requirement,
                       struct build_heading heading, struct span span)
{
    struct build_despite despite = heading.despite;

    requirement->name = heading.name;
    requirement->title = heading.title;
    CHAIN_INTO(&requirement->hazards, heading.against);
    requirement->refers_to = heading.references.refers_to;
    requirement->read_by = heading.references.read_by;
    requirement->span = span;
    CHAIN_INTO(&requirement->despite_of, despite.of);
    requirement->another = despite.another;
    requirement->until_noticed = despite.until_noticed;
    requirement->within = despite.within;
    requirement->within_sampled = despite.sampled;
    requirement->except = despite.except;
    if (despite.number)
        requirement->despite = despite.number->number;
    if (despite.number && despite.number->number < 1)
        reading_error(reading, despite.number->span,
                      "write 1 or more, or leave DESPITE out",
                      "'DESPITE' needs a number of faults above 0");
    if (despite.except.file && !despite.number)
        reading_error(reading, despite.except,
                      "write DESPITE 1 FAULT before EXCEPT, or leave it out",
                      "nothing is excused without a fault");
    CHAIN_APPEND(&reading->run->review.requirements, requirement);
}
