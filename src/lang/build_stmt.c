#include "lang/build_stmt.h"

#include "base/arena.h"
#include "lang/reading.h"
#include "lang/refuse.h"

static struct tree_stmt *stmt_new(struct reading *reading,
                                  enum tree_stmt_kind kind,
                                  struct span span)
{
    struct tree_stmt *stmt = ARENA_NEW(reading->context->arena,
                                       struct tree_stmt);

    stmt->kind = kind;
    stmt->span = span;
    return stmt;
}

struct tree_stmt *build_empty(struct reading *reading, struct span span)
{
    return stmt_new(reading, TREE_EMPTY, span);
}

struct tree_stmt *build_assign(struct reading *reading,
                               struct tree_path *target,
                               struct tree_expr *value, struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_ASSIGN, span);

    stmt->target = target;
    stmt->value = value;
    return stmt;
}

struct tree_stmt *build_assign_with_equals(struct reading *reading,
                                           struct tree_path *target,
                                           struct tree_expr *value,
                                           struct span where)
{
    reading_error(reading, where, "write :=",
                  "'=' only compares; an assignment is written ':='");
    return build_assign(reading, target, value,
                        span_join(target->span, value->span));
}

struct tree_stmt *build_invoke(struct reading *reading,
                               struct tree_path *path, struct chain args,
                               struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_INVOKE, span);

    stmt->target = path;
    CHAIN_INTO(&stmt->args, args);
    return stmt;
}

struct tree_branch *build_branch(struct reading *reading,
                                 struct tree_expr *condition,
                                 struct chain body, struct span span)
{
    struct tree_branch *branch = ARENA_NEW(reading->context->arena,
                                           struct tree_branch);

    branch->condition = condition;
    CHAIN_INTO(&branch->body, body);
    branch->span = span;
    return branch;
}

struct tree_stmt *build_if(struct reading *reading,
                           struct tree_branch *first, struct chain more,
                           struct tree_branch *last, struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_IF, span);
    struct chain all = chain_add((struct chain){0}, first);

    all = chain_add(chain_join(all, more), last);
    CHAIN_INTO(&stmt->branches, all);
    return stmt;
}

struct tree_stmt *build_case(struct reading *reading,
                             struct tree_expr *value, struct chain branches,
                             struct tree_branch *last, struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_CASE, span);

    stmt->value = value;
    CHAIN_INTO(&stmt->branches, chain_add(branches, last));
    return stmt;
}

struct tree_stmt *build_may(struct reading *reading, struct chain branches,
                            struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_MAY, span);

    CHAIN_INTO(&stmt->branches, branches);
    return stmt;
}

struct tree_label *build_label(struct reading *reading,
                               struct tree_expr *low,
                               struct tree_expr *high, struct span span)
{
    struct tree_label *label = ARENA_NEW(reading->context->arena,
                                         struct tree_label);

    label->low = low;
    label->high = high;
    label->span = span;
    return label;
}

struct tree_branch *build_case_branch(struct reading *reading,
                                      struct chain labels,
                                      struct span span)
{
    struct tree_branch *branch =
        build_branch(reading, NULL, (struct chain){0}, span);

    CHAIN_INTO(&branch->labels, labels);
    return branch;
}

struct chain build_case_statement(struct reading *reading,
                                  struct chain branches,
                                  struct tree_stmt *stmt)
{
    struct tree_branch *branch = branches.last;

    if (branch)
        CHAIN_APPEND(&branch->body, stmt);
    else if (stmt->kind != TREE_EMPTY)
        reading_error(reading, stmt->span,
                      "write the value and a colon before it: 1: ...",
                      "this statement of CASE stands behind no value");
    return branches;
}

struct tree_stmt *build_refused(struct reading *reading, const char *word,
                                struct span where)
{
    refuse_construct(reading, word, where);
    return build_empty(reading, where);
}
