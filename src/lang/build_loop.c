#include "lang/build_loop.h"

#include "base/arena.h"
#include "lang/build_expr.h"
#include "lang/build_stmt.h"
#include "lang/reading.h"
#include "lang/spelling.h"
#include "source/diag.h"

static struct tree_stmt *loop_new(struct reading *reading,
                                  enum tree_stmt_kind kind,
                                  struct span span)
{
    struct tree_stmt *stmt = ARENA_NEW(reading->context->arena,
                                       struct tree_stmt);

    stmt->kind = kind;
    stmt->span = span;
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

    spelling_seen(reading, value ? SPELLING_SETS : SPELLING_RESETS, where);
    return build_if(reading,
                    build_branch(reading, condition, body, condition->span),
                    (struct chain){0}, NULL, span);
}

struct tree_stmt *build_for(struct reading *reading,
                            struct tree_path *target,
                            struct build_count count, struct chain body,
                            struct span span)
{
    struct tree_stmt *stmt = loop_new(reading, TREE_FOR, span);
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
    struct tree_stmt *stmt = loop_new(reading, kind, span);
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
    return loop_new(reading, kind, span);
}
