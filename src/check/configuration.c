#include "check/configuration.h"

#include <string.h>

static void refuse(struct draft *draft, struct span span, const char *hint,
                   const char *what)
{
    diag_add(draft->diags, DIAG_ERROR, span, hint, "%s", what);
}

/* What runs otherwise than once in each scan: refused where a review text
 * judges it, else told. */
static bool not_followed(struct draft *draft, struct span span,
                         const char *hint, const char *what)
{
    bool judged = draft->run->review.name ||
                  draft->run->spelling == TREE_STRICT;

    if (judged)
        refuse(draft, span, hint, what);
    else
        diag_add(draft->diags, DIAG_WARNING, span, hint,
                 "when this runs is not followed: here every program runs "
                 "once in each scan, one behind the other");
    return judged;
}

static const struct tree_task *
task_named(const struct tree_configuration *configuration,
           const struct tree_ident *name)
{
    const struct tree_task *task = configuration->tasks.first;

    while (task && task->name->name != name->name)
        task = task->next;
    return task;
}

static bool is_called(const struct tree_arg *arg, const char *folded)
{
    return arg->name && strcmp(arg->name->name->folded, folded) == 0;
}

/* The task of the first instance that has one. */
static const struct tree_task *task_of(const struct tree_run *run)
{
    const struct tree_configuration *configuration =
        run->configurations.first;
    const struct tree_instance *at =
        configuration ? configuration->instances.first : NULL;

    while (at && !at->task)
        at = at->next;
    return at ? task_named(configuration, at->task) : NULL;
}

const struct tree_expr *configuration_interval(const struct tree_run *run)
{
    const struct tree_task *task = task_of(run);
    const struct tree_arg *arg = task ? task->args.first : NULL;

    for (; arg; arg = arg->next)
        if (is_called(arg, "interval"))
            return arg->value;
    return NULL;
}

static void check_task(struct draft *draft, const struct tree_task *task)
{
    bool cyclic = false;

    for (const struct tree_arg *arg = task->args.first; arg;
         arg = arg->next) {
        cyclic |= is_called(arg, "interval");
        if (is_called(arg, "single"))
            cyclic |= !not_followed(draft, arg->span,
                   "give the task an INTERVAL, or review its programs by "
                   "themselves",
                   "a task that runs on an event (SINGLE) is not read in "
                   "this version: programs run once in each scan");
        else if (!is_called(arg, "interval") &&
                 !is_called(arg, "priority"))
            refuse(draft, arg->span,
                   "write INTERVAL := T#10ms, PRIORITY := 1",
                   "a TASK has an INTERVAL and a PRIORITY");
    }
    if (!cyclic && !diags_errors(draft->diags))
        refuse(draft, task->name->span, "write INTERVAL := and a time",
               "this TASK does not say how often it runs");
}

static void check_instance(struct draft *draft,
                           const struct tree_configuration *configuration,
                           const struct tree_instance *instance)
{
    const struct tree_task *task = task_of(draft->run);
    const struct tree_instance *at = configuration->instances.first;

    for (; at != instance; at = at->next)
        if (at->name->name == instance->name->name) {
            diag_add(draft->diags, DIAG_ERROR, instance->name->span,
                     "give each instance a name of its own",
                     "the program instance '%s' stands twice",
                     instance->name->name->spelling);
            diag_also(draft->diags, at->name->span, "first declared here");
        }
    if (instance->task && !task_named(configuration, instance->task))
        diag_add(draft->diags, DIAG_ERROR, instance->task->span,
                 "declare it: TASK name (INTERVAL := T#10ms, PRIORITY := 1);",
                 "there is no TASK '%s'",
                 instance->task->name->spelling);
    else if (task && !instance->task)
        not_followed(draft, instance->name->span,
               "write WITH and the task behind its name",
               "this program belongs to no task, and others do: how they "
               "interrupt one another is not known");
    else if (task && instance->task->name != task->name->name) {
        if (not_followed(draft, instance->task->span,
               "put all programs under one task, or give each task a "
               "configuration and a review of its own",
               "programs of more than one task are not read in this version: "
               "they would interrupt one another"))
            diag_also(draft->diags, task->name->span,
                      "the first task is this");
    }
}

void configuration_check(struct draft *draft)
{
    const struct tree_configuration *first =
        draft->run->configurations.first;
    const struct tree_task *task;

    if (!first)
        return;
    if (first->next) {
        refuse(draft, first->next->span,
               "give the texts of one controller at a time",
               "there is more than one CONFIGURATION");
        diag_also(draft->diags, first->span, "the first stands here");
    }
    if (first->n_resources > 1)
        not_followed(draft, first->span,
               "keep the RESOURCE whose programs are under review; what the "
               "other one writes is named by SHARED in the review text",
               "programs of more than one RESOURCE run side by side, which "
               "is not read in this version");
    task = task_of(draft->run);
    if (task)
        check_task(draft, task);
    for (const struct tree_instance *at = first->instances.first; at;
         at = at->next)
        check_instance(draft, first, at);
    if (!first->instances.first)
        refuse(draft, first->span,
               "write PROGRAM Name WITH task : Type; or leave the "
               "CONFIGURATION out: then every PROGRAM runs",
               "this CONFIGURATION runs no program");
}
