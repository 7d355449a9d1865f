#include "lang/build_stmt.h"

#include "base/arena.h"
#include "lang/build_expr.h"
#include "lang/reading.h"
#include "lang/refuse.h"
#include "source/diag.h"

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

struct tree_stmt *build_assign_when(struct reading *reading,
                                    struct tree_path *target,
                                    struct tree_expr *condition, bool value,
                                    struct span where)
{
    struct span span = span_join(target->span, condition->span);
    struct tree_expr *constant = build_bool(reading, value, where);
    struct chain body = chain_add(
        (struct chain){0}, build_assign(reading, target, constant, span));

    if (reading_first(reading, value ? READING_ONCE_SETS
                                     : READING_ONCE_RESETS))
        diag_add(reading->context->diags, DIAG_NOTE, where, NULL,
                 "'%s=' is read as IF ... THEN ... := %s; END_IF;",
                 value ? "S" : "R", value ? "TRUE" : "FALSE");
    return build_if(reading,
                    build_branch(reading, condition, body, condition->span),
                    (struct chain){0}, NULL, span);
}

struct tree_stmt *build_for(struct reading *reading,
                            struct tree_path *target,
                            struct build_count count, struct chain body,
                            struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, TREE_FOR, span);
    struct span head = span_join(
        target->span, count.by ? count.by->span : count.to->span);
    struct chain one = chain_add((struct chain){0},
                                 build_branch(reading, NULL, body, head));

    stmt->target = target;
    stmt->value = count.from;
    stmt->to = count.to;
    stmt->by = count.by;
    CHAIN_INTO(&stmt->branches, one);
    return stmt;
}

struct tree_stmt *build_loop(struct reading *reading,
                             enum tree_stmt_kind kind,
                             struct tree_expr *condition, struct chain body,
                             struct span span)
{
    struct tree_stmt *stmt = stmt_new(reading, kind, span);
    struct chain one = chain_add(
        (struct chain){0},
        build_branch(reading, NULL, body, condition->span));

    stmt->value = condition;
    CHAIN_INTO(&stmt->branches, one);
    return stmt;
}

struct tree_stmt *build_leave(struct reading *reading,
                              enum tree_stmt_kind kind, struct span span)
{
    return stmt_new(reading, kind, span);
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
