#include "check/advice/course.h"

/* A walk; `ends_without`: some way ended early and had not done it. */
struct walk {
    struct course *course;
    bool ends_without;
};

/* ---- CASE ---- */

/* The first value at or above `from` that no label holds. */
static int64_t first_free(const struct code_stmt *stmt, int64_t from)
{
    bool moved = true;

    while (moved) {
        moved = false;
        for (uint32_t b = 0; b < stmt->n_branches; b++)
            for (uint32_t l = 0; l < stmt->branches[b].n_labels; l++) {
                const struct code_label *label =
                    &stmt->branches[b].labels[l];

                if (from < label->low || from > label->high)
                    continue;
                if (label->high == INT64_MAX)
                    return INT64_MAX;
                from = label->high + 1;
                moved = true;
            }
    }
    return from;
}

/* Does a CASE without ELSE cover every value of its selector?  Gives back
 * the first value that is missing. */
static bool course_covers(const struct code_stmt *stmt, int64_t *missing)
{
    *missing = first_free(stmt, stmt->value->type->low);
    return *missing > stmt->value->type->high;
}

/* A FOR is taken to have a pass: whoever wrote it thought so. */
static bool is_complete(const struct code_stmt *stmt)
{
    int64_t missing;

    if (stmt->kind == CODE_FOR || stmt->kind == CODE_REPEAT)
        return true;
    if (stmt->kind == CODE_WHILE)
        return false;
    for (uint32_t b = 0; b < stmt->n_branches; b++)
        if (!stmt->branches[b].condition && !stmt->branches[b].n_labels)
            return true;
    return stmt->kind == CODE_CASE && course_covers(stmt, &missing);
}

/* ---- what a statement does ---- */

static bool is_it(const struct course *course,
                  struct code_variable variable)
{
    return variable.base == CODE_LOCAL && !variable.n_steps &&
           variable.index == course->offset;
}

static bool args_do(const struct course *course,
                    const struct code_arg *args, uint32_t count)
{
    for (uint32_t i = 0; i < count && !course->call; i++)
        if (args[i].kind != ARG_INPUT && is_it(course, args[i].target))
            return true;
    return false;
}

/* Done by the expression?  Reads of it before that are noted. */
static bool expr_does(struct walk *walk, const struct code_expr *expr,
                      bool done)
{
    struct course *course = walk->course;

    if (!expr)
        return done;
    if (expr->op == CODE_VARIABLE && !done && !course->unready.file &&
        is_it(course, expr->variable))
        course->unready = expr->span;
    done = expr_does(walk, expr->left, done);
    done = expr_does(walk, expr->right, done);
    for (uint32_t i = 0; i < expr->n_args; i++)
        done = expr_does(walk, expr->args[i].value, done);
    return done || args_do(course, expr->args, expr->n_args);
}

static bool list_does(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t count, bool done);

static bool branches_do(struct walk *walk, const struct code_stmt *stmt,
                        bool done)
{
    bool all = true;

    for (uint32_t b = 0; b < stmt->n_branches; b++) {
        const struct code_branch *branch = &stmt->branches[b];

        done = expr_does(walk, branch->condition, done);
        all &= list_does(walk, branch->body, branch->n_body, done);
    }
    return done || (all && is_complete(stmt));
}

/* What is evaluated: w.3 := b only looks at the other bits of w. */
static const struct code_expr *stored(const struct code_stmt *stmt)
{
    return stmt->kind == CODE_ASSIGN && stmt->value->op == CODE_WITH_BIT
               ? stmt->value->right : stmt->value;
}

static bool stmt_does(struct walk *walk, const struct code_stmt *stmt,
                      bool done)
{
    const struct course *course = walk->course;

    if (stmt->kind != CODE_REPEAT)
        done = expr_does(walk, stored(stmt), done);
    if (stmt->kind == CODE_FOR) {
        done = expr_does(walk, stmt->loop->to, done);
        done = expr_does(walk, stmt->loop->by, done);
        done |= !course->call && is_it(course, stmt->target);
    }
    for (uint32_t i = 0; i < stmt->n_args; i++)
        done = expr_does(walk, stmt->args[i].value, done);
    done = done || args_do(course, stmt->args, stmt->n_args);
    if (stmt->kind == CODE_ASSIGN && !course->call)
        done = done || is_it(course, stmt->target);
    if (stmt->kind == CODE_INVOKE && course->call)
        done = done || is_it(course, stmt->instance);
    if (stmt->n_branches)
        done = branches_do(walk, stmt, done);
    return stmt->kind == CODE_REPEAT ? expr_does(walk, stmt->value, done)
                                     : done;
}

static bool is_leaving(const struct code_stmt *stmt)
{
    return stmt->kind == CODE_EXIT || stmt->kind == CODE_CONTINUE ||
           stmt->kind == CODE_RETURN;
}

static bool list_does(struct walk *walk, const struct code_stmt *stmts,
                      uint32_t count, bool done)
{
    for (uint32_t i = 0; i < count; i++) {
        walk->ends_without |= stmts[i].kind == CODE_RETURN && !done;
        if (is_leaving(&stmts[i]))
            return true; /* what is behind is not asked of this way */
        done = stmt_does(walk, &stmts[i], done);
    }
    return done;
}

bool course_always(struct course *course, const struct code_pou *pou)
{
    struct walk walk = {.course = course};

    course->unready = (struct span){0};
    return list_does(&walk, pou->body, pou->n_body, false) &&
           !walk.ends_without;
}
