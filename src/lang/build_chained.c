#include "lang/build_chained.h"

#include "lang/build_expr.h"
#include "lang/build_stmt.h"
#include "lang/reading.h"
#include "lang/spelling.h"

struct chain build_linked(struct reading *reading, struct tree_path *target,
                          struct chain assignments)
{
    const struct tree_stmt *last = assignments.last;

    return chain_add(assignments,
                     build_assign(reading, target,
                                  build_ref(reading, last->target),
                                  span_join(target->span, last->span)));
}

/* Is a variable of that name, or a part of it, assigned here? */
static bool assigned(const struct chain *assignments,
                     const struct name *name)
{
    const struct tree_stmt *at = assignments->first;

    for (; at; at = at->next)
        if (at->target->parts.first->name == name)
            return true;
    return false;
}

/* Does it come to the same before and behind these assignments? */
static bool settled(const struct chain *assignments,
                    const struct tree_expr *expr)
{
    switch (expr->kind) {
    case TREE_INTEGER:
    case TREE_ITEM: return true;
    case TREE_REF:
        return !assigned(assignments, expr->path->parts.first->name) &&
               expr->path->parts.n == 1;
    case TREE_UNARY: return settled(assignments, expr->left);
    case TREE_BINARY:
        return settled(assignments, expr->left) &&
               settled(assignments, expr->right);
    default: return false;
    }
}

static void check_indices(struct reading *reading,
                          const struct chain *assignments,
                          const struct tree_path *target)
{
    for (const struct path_part *part = target->parts.first; part;
         part = part->next)
        for (const struct tree_expr *index = part->indices.first; index;
             index = index->next)
            if (!settled(assignments, index))
                reading_error(reading, index->span,
                              "write one assignment behind the other",
                              "it is not clear whether this index is "
                              "evaluated before or behind the other "
                              "assignment");
}

struct chain build_chained(struct reading *reading,
                           struct tree_path *target,
                           struct chain assignments, struct span where)
{
    struct chain all = build_linked(reading, target, assignments);

    if (reading->kind == PARSE_CONTROL)
        spelling_seen(reading, SPELLING_CHAINED, where);
    else
        reading_error(reading, where, "write one behind the other",
                      "several assignments stand in one");
    for (const struct tree_stmt *at = all.first; at; at = at->next)
        check_indices(reading, &all, at->target);
    return all;
}

struct chain build_case_chained(struct reading *reading,
                                struct chain branches,
                                struct chain assignments)
{
    struct tree_stmt *at = assignments.first;

    while (at) {
        struct tree_stmt *next = at->next;

        at->next = NULL;
        branches = build_case_statement(reading, branches, at);
        at = next;
    }
    return branches;
}
