#include "lang/build_expr.h"

#include <string.h>

#include "base/arena.h"
#include "lang/reading.h"
#include "lang/review.h"
#include "lang/spelling.h"
#include "lang/refuse.h"

struct tree_ident *build_ident(struct reading *reading, struct span span)
{
    struct tree_ident *ident = ARENA_NEW(reading->context->arena,
                                         struct tree_ident);

    ident->name = names_intern(reading->context->names,
                               reading->text + span.from,
                               span.to - span.from);
    ident->span = span;
    return ident;
}

static struct tree_expr *expr_new(struct reading *reading,
                                  enum tree_expr_kind kind,
                                  struct span span)
{
    struct tree_expr *expr = ARENA_NEW(reading->context->arena,
                                       struct tree_expr);

    expr->kind = kind;
    expr->span = span;
    expr->height = 1;
    return expr;
}

/* Later floors walk the tree by recursion: it must not be too high. */
static void grow(struct reading *reading, struct tree_expr *expr,
                 const struct tree_expr *below)
{
    if (below && below->height >= expr->height)
        expr->height = below->height + 1;
    if (expr->height <= READING_OPERATORS)
        return;
    reading_error_once(reading, expr->span, "name parts of it in variables",
                       "this expression has more than %d operators in a row",
                       READING_OPERATORS);
    reading->stopped = true;
}

/* The indices of a path stand below what names it. */
static void grow_path(struct reading *reading, struct tree_expr *expr)
{
    for (struct path_part *part = expr->path->parts.first; part;
         part = part->next)
        for (struct tree_expr *index = part->indices.first; index;
             index = index->next)
            grow(reading, expr, index);
}

struct tree_expr *build_ref(struct reading *reading, struct tree_path *path)
{
    struct tree_expr *expr = expr_new(reading, TREE_REF, path->span);

    expr->path = path;
    grow_path(reading, expr);
    return expr;
}

struct tree_expr *build_values(struct reading *reading, int kind,
                               const struct tree_expr *number,
                               struct chain args, struct span span)
{
    struct tree_expr *expr =
        expr_new(reading, (enum tree_expr_kind)kind, span);

    if (number)
        expr->number = number->beyond ? INT64_MAX : number->number;
    CHAIN_INTO(&expr->args, args);
    for (struct tree_arg *arg = expr->args.first; arg; arg = arg->next)
        grow(reading, expr, arg->value);
    return expr;
}

struct tree_expr *build_bare_values(struct reading *reading,
                                    struct chain args, struct span span)
{
    struct tree_arg *first = args.first;

    if (first == args.last && first->value->kind != TREE_REPEATED)
        return first->value;
    spelling_seen(reading, SPELLING_BARE_LIST, span);
    return build_values(reading, TREE_ELEMENTS, NULL, args, span);
}

struct tree_expr *build_bool(struct reading *reading, bool value,
                             struct span span)
{
    struct tree_expr *expr = expr_new(reading, TREE_BOOL, span);

    expr->number = value;
    return expr;
}

/* `a AND b TRUE FOR t`: of what the time is counted must not be left to a
 * rule of precedence. */
static void no_open_time(struct reading *reading,
                         const struct tree_expr *operand)
{
    if (operand->kind != TREE_TRUE_FOR || operand->parenthesised ||
        operand->left->parenthesised)
        return;
    reading_error(reading, operand->span,
                  "put ( ) around what must be true for that time",
                  "it is not clear what 'TRUE FOR' speaks of");
}

struct tree_expr *build_unary(struct reading *reading, enum tree_op op,
                              struct span op_span, struct tree_expr *left)
{
    struct tree_expr *expr = expr_new(reading, TREE_UNARY,
                                      span_join(op_span, left->span));

    no_open_time(reading, left);
    expr->op = op;
    expr->op_span = op_span;
    expr->left = left;
    grow(reading, expr, left);
    return expr;
}

struct tree_expr *build_binary(struct reading *reading, enum tree_op op,
                               struct span op_span, struct tree_expr *left,
                               struct tree_expr *right)
{
    struct tree_expr *expr =
        expr_new(reading, TREE_BINARY, span_join(left->span, right->span));

    no_open_time(reading, right);
    expr->op = op;
    expr->op_span = op_span;
    expr->left = left;
    expr->right = right;
    grow(reading, expr, left);
    grow(reading, expr, right);
    return expr;
}

struct tree_expr *build_power_of(struct reading *reading,
                                 struct span op_span,
                                 struct tree_expr *left,
                                 struct tree_expr *right)
{
    return build_binary(reading, TREE_POWER, op_span, left, right);
}

struct tree_expr *build_paren(struct reading *reading,
                              struct tree_expr *expr, struct span span)
{
    (void)reading;
    expr->parenthesised = true;
    expr->span = span;
    return expr;
}

/* REAL_TO_INT, TO_DINT, TRUNC and the like. */
static bool rounds(const struct name *name)
{
    const char *word = name->folded;

    return strncmp(word, "to_", 3) == 0 || strcmp(word, "trunc") == 0 ||
           strstr(word, "real_to_") != NULL;
}

struct tree_expr *build_call(struct reading *reading,
                             struct tree_path *path, struct chain args,
                             struct span span)
{
    struct tree_expr *expr = expr_new(reading, TREE_CALL, span);

    expr->path = path;
    grow_path(reading, expr);
    if (reading->run)
        reading->run->rounds |= rounds(path->parts.first->name);
    CHAIN_INTO(&expr->args, args);
    for (struct tree_arg *arg = expr->args.first; arg; arg = arg->next)
        grow(reading, expr, arg->value);
    return expr;
}

struct tree_expr *build_signal_term(struct reading *reading, int kind,
                                    struct tree_path *path,
                                    struct span span)
{
    struct tree_expr *expr =
        expr_new(reading, (enum tree_expr_kind)kind, span);

    expr->path = path;
    return expr;
}

struct tree_expr *build_past(struct reading *reading, int kind,
                             struct tree_expr *left, struct span span)
{
    struct tree_expr *expr =
        expr_new(reading, (enum tree_expr_kind)kind, span);

    expr->left = left;
    grow(reading, expr, left);
    return expr;
}

struct tree_expr *build_true_for(struct reading *reading,
                                 struct tree_expr *left,
                                 struct tree_expr *limit, bool sampled,
                                 struct span span)
{
    struct tree_expr *expr = expr_new(reading, TREE_TRUE_FOR, span);

    expr->left = left;
    expr->right = limit;
    expr->sampled = sampled;
    grow(reading, expr, left);
    return expr;
}

struct tree_arg *build_arg(struct reading *reading, struct tree_ident *name,
                           struct tree_expr *value, bool output,
                           struct span span)
{
    struct tree_arg *arg = ARENA_NEW(reading->context->arena,
                                     struct tree_arg);

    arg->name = name;
    arg->value = value;
    arg->output = output;
    arg->span = span;
    return arg;
}
