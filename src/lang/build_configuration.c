#include "lang/build_configuration.h"

#include "base/arena.h"
#include "lang/reading.h"
#include "lang/review.h"
#include "source/diag.h"

static struct tree_configuration *newest(struct reading *reading)
{
    return reading->run->configurations.last;
}

void build_configuration(struct reading *reading, struct tree_ident *name,
                         struct span span)
{
    struct tree_configuration *made =
        ARENA_NEW(reading->context->arena, struct tree_configuration);

    made->name = name;
    made->span = span;
    CHAIN_APPEND(&reading->run->configurations, made);
}

void build_resource(struct reading *reading)
{
    newest(reading)->n_resources++;
}

void build_task(struct reading *reading, struct tree_ident *name,
                struct chain args)
{
    struct tree_task *task =
        ARENA_NEW(reading->context->arena, struct tree_task);

    task->name = name;
    CHAIN_INTO(&task->args, args);
    CHAIN_APPEND(&newest(reading)->tasks, task);
}

void build_instance(struct reading *reading, struct tree_ident *name,
                    struct tree_ident *task, struct tree_ident *type)
{
    struct tree_instance *instance =
        ARENA_NEW(reading->context->arena, struct tree_instance);

    instance->name = name;
    instance->task = task;
    instance->type = type;
    CHAIN_APPEND(&newest(reading)->instances, instance);
}

void build_instance_args(struct reading *reading, struct chain args,
                         struct span where)
{
    if (args.first && !reading->run->review.name &&
        reading->run->spelling != TREE_STRICT)
        diag_add(reading->context->diags, DIAG_WARNING, where,
                 "connect them through VAR_GLOBAL: with a review text this "
                 "is an error",
                 "values given to an instance of a program are not followed: "
                 "its inputs are taken for free");
    else if (args.first)
        reading_error(reading, where,
                      "write the assignment into the program, or connect "
                      "them through VAR_GLOBAL",
                      "values given to an instance of a program are not "
                      "read in this version");
}
