#include "check/advice/plain.h"

#include "check/advice/say.h"

/* ---- elapsed time ---- */

static bool is_elapsed(const struct subject *subject,
                       const struct code_expr *expr)
{
    const struct code_frame_var *row;
    enum code_standard standard;

    if (expr->op != CODE_VARIABLE || expr->variable.base != CODE_LOCAL ||
        expr->variable.n_steps)
        return false;
    row = say_row(subject->unit->pou, expr->variable.index);
    standard = row && row->pou ? row->pou->standard : STANDARD_NONE;
    return (standard == STANDARD_TON || standard == STANDARD_TOF ||
            standard == STANDARD_TP) &&
           expr->variable.index - row->offset == TIMER_ET;
}

/* ET = T#0s asks whether the timer runs, and that is exact. */
static bool is_zero(const struct code_expr *expr)
{
    return expr->op == CODE_CONST && !expr->value;
}

static void elapsed(const struct subject *subject,
                    const struct code_expr *expr)
{
    const struct code_expr *timer =
        is_elapsed(subject, expr->left) ? expr->left : expr->right;
    const struct code_expr *other =
        timer == expr->left ? expr->right : expr->left;

    if (!is_elapsed(subject, timer) || is_zero(other))
        return;
    say(subject->draft,
        &(struct remark){.kind = REMARK_ELAPSED_EQUALS_PRESET,
                         .subject = say_variable(subject->draft,
                                                 subject->unit,
                                                 timer->variable),
                         .span = expr->span,
                         .hint = "ask its Q, or write >= or <"},
        "an elapsed time moves in steps of the scan and need not meet this "
        "value: some controllers stop it at PT, some beyond");
}

/* ---- conditions that never change ---- */

static bool same(const struct code_expr *a, const struct code_expr *b)
{
    if (!a || !b)
        return a == b;
    if (a->op == CODE_ANY)
        return false; /* any value, each time anew */
    return a->op == b->op && a->value == b->value && a->index == b->index &&
           a->when == b->when && a->pou == b->pou &&
           trail_same(a->variable, b->variable) && !a->n_args &&
           !b->n_args && same(a->left, b->left) &&
           same(a->right, b->right);
}

/* A TRUE or FALSE written as such; a named CONSTANT is a switch that
 * somebody set on purpose. */
static const char *literal(const struct code_expr *expr)
{
    if (!expr || expr->op != CODE_CONST || expr->declared.file ||
        expr->type->kind != TYPE_BOOL)
        return NULL;
    return expr->value ? "TRUE" : "FALSE";
}

static bool never_read(const struct code_expr *a, const struct code_expr *b)
{
    return a->op == CODE_NOT && same(a->left, b);
}

/* A number that the type of the variable cannot reach. */
static const char *out_of_range(const struct code_expr *expr)
{
    const struct code_expr *left = expr->left;
    int64_t value;
    bool below, above;

    if (left->op != CODE_VARIABLE || type_abstracted(left->type) ||
        left->type->kind == TYPE_BOOL ||
        left->type->kind == TYPE_ENUM || type_unsigned(left->type) ||
        expr->right->op != CODE_CONST)
        return NULL;
    value = expr->right->value;
    below = value < left->type->low;
    above = value > left->type->high;
    switch (expr->op) {
    case CODE_EQ: return below || above ? "FALSE" : NULL;
    case CODE_NE: return below || above ? "TRUE" : NULL;
    case CODE_LT:
        return value <= left->type->low ? "FALSE" : above ? "TRUE" : NULL;
    case CODE_LE:
        return below ? "FALSE" : value >= left->type->high ? "TRUE" : NULL;
    case CODE_GT:
        return value >= left->type->high ? "FALSE" : below ? "TRUE" : NULL;
    case CODE_GE:
        return above ? "FALSE" : value <= left->type->low ? "TRUE" : NULL;
    default: return NULL;
    }
}

static void unchanging(const struct subject *subject, struct span span,
                       const char *what)
{
    say(subject->draft,
        &(struct remark){.kind = REMARK_CONDITION_NEVER_CHANGES,
                         .subject = subject->unit->name->spelling,
                         .span = span,
                         .hint = "take it out, or write what was meant"},
        "%s", what);
}

static void junction(const struct subject *subject,
                     const struct code_expr *expr)
{
    const char *value = literal(expr->left);

    value = value ? value : literal(expr->right);
    if (value)
        unchanging(subject, expr->span,
                   arena_printf(subject->draft->arena,
                                "%s stands here as a part of a condition: "
                                "left from a trial?",
                                value));
    else if (same(expr->left, expr->right) ||
             never_read(expr->left, expr->right) ||
             never_read(expr->right, expr->left))
        unchanging(subject, expr->span,
                   "the same stands on both sides of AND, OR or XOR");
}

static void comparison(const struct subject *subject,
                       const struct code_expr *expr)
{
    const char *value = out_of_range(expr);

    if (value)
        unchanging(subject, expr->span,
                   arena_printf(subject->draft->arena,
                                "this is always %s: the type of the left "
                                "side goes from %lld to %lld",
                                value,
                                (long long)expr->left->type->low,
                                (long long)expr->left->type->high));
    else if (expr->left->op != CODE_CONST &&
             !type_abstracted(expr->left->type) &&
             same(expr->left, expr->right))
        unchanging(subject, expr->span,
                   "both sides of this comparison are the same");
}

static void see(void *context, const struct code_stmt *stmt,
                const struct code_expr *expr)
{
    const struct subject *subject = context;

    (void)stmt;
    switch (expr->op) {
    case CODE_AND: case CODE_OR: case CODE_XOR: case CODE_AND_THEN:
    case CODE_OR_ELSE:
        junction(subject, expr);
        break;
    case CODE_EQ: case CODE_NE:
        elapsed(subject, expr);
        comparison(subject, expr);
        break;
    case CODE_LT: case CODE_LE: case CODE_GT: case CODE_GE:
        comparison(subject, expr);
        break;
    default: break;
    }
}

static void conditions(const struct subject *subject,
                       const struct code_stmt *stmts, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        for (uint32_t b = 0; b < stmts[i].n_branches; b++) {
            const struct code_branch *branch = &stmts[i].branches[b];
            const char *value = literal(branch->condition);

            if (value)
                unchanging(subject, branch->span,
                           arena_printf(subject->draft->arena,
                                        "this condition is always %s",
                                        value));
            conditions(subject, branch->body, branch->n_body);
        }
}

void plain_advise(const struct subject *subject)
{
    const struct code_pou *pou = subject->unit->pou;

    trail_expressions(pou->body, pou->n_body, see, (void *)subject);
    conditions(subject, pou->body, pou->n_body);
}
