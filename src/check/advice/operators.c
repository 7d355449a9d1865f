#include "check/advice/operators.h"

#include "check/advice/say.h"

static bool is_equality(enum tree_op op)
{
    return op == TREE_EQ || op == TREE_NE;
}

static bool is_order(enum tree_op op)
{
    return op >= TREE_LT && op <= TREE_GE;
}

/* An operator written without parentheses. */
static bool is_bare(const struct tree_expr *tree, enum tree_expr_kind kind)
{
    return tree->kind == kind && !tree->parenthesised;
}

static const char *hint_of(enum remark_kind kind)
{
    return kind == REMARK_REALS_COMPARED
               ? "ask whether they are near enough: ABS (a - b) < 0.1"
               : "write parentheses around what belongs together";
}

static void remark(struct env *env, enum remark_kind kind,
                   const struct tree_expr *tree, const char *message)
{
    const struct tree_ident *review = env->draft->run->review.name;

    say(env->draft,
        &(struct remark){.kind = kind,
                         .subject = env->unit ? env->unit->name->spelling
                                    : review  ? review->name->spelling
                                              : "",
                         .span = tree->span,
                         .hint = hint_of(kind)},
        "%s", message);
}

/* (NOT a) = b says the same as NOT (a = b) where both are BOOL. */
static void negated(struct env *env, const struct tree_expr *tree,
                    const struct code_expr *left)
{
    if (!is_bare(tree->left, TREE_UNARY) || tree->left->op != TREE_NOT ||
        (is_equality(tree->op) && left->type->kind == TYPE_BOOL))
        return;
    remark(env, REMARK_ORDER_OF_NOT, tree,
           "NOT belongs to the left side alone, not to the comparison");
}

static void chained(struct env *env, const struct tree_expr *tree)
{
    const struct tree_expr *left = tree->left;

    if (!is_bare(left, TREE_BINARY) ||
        !(is_equality(tree->op) ? is_equality(left->op)
                                : is_order(left->op)))
        return;
    remark(env, REMARK_COMPARISON_OF_COMPARISON, tree,
           "this compares the answer of the first comparison with the last "
           "value, it does not compare the three");
}

/* Controllers do not agree which of the two is computed first. */
static void power(struct env *env, const struct tree_expr *tree)
{
    if (is_bare(tree->left, TREE_UNARY))
        remark(env, REMARK_ORDER_OF_POWER, tree,
               "the sign is taken before the power here, and controllers do "
               "not agree on that");
}

/* A zero is met exactly, and x <> x asks for not-a-number. */
static bool is_exact(const struct tree_expr *tree)
{
    return (tree->kind == TREE_INTEGER && !tree->number) ||
           (tree->kind == TREE_REAL && tree->real == 0);
}

static bool same_path(const struct tree_expr *a, const struct tree_expr *b)
{
    const struct path_part *left, *right;

    if (a->kind != TREE_REF || b->kind != TREE_REF)
        return false;
    left = a->path->parts.first;
    right = b->path->parts.first;
    while (left && right && left->kind == PART_NAME &&
           right->kind == PART_NAME && left->name == right->name) {
        left = left->next;
        right = right->next;
    }
    return !left && !right;
}

static void reals(struct env *env, const struct tree_expr *tree,
                  const struct code_expr *left)
{
    if (left->type->kind != TYPE_REAL || !is_equality(tree->op) ||
        is_exact(tree->left) || is_exact(tree->right) ||
        same_path(tree->left, tree->right))
        return;
    remark(env, REMARK_REALS_COMPARED, tree,
           "two REALs are seldom equal to the last digit");
}

static void mixed(struct env *env, const struct tree_expr *tree)
{
    const struct tree_expr *left = tree->left, *right = tree->right;

    if ((!is_bare(left, TREE_BINARY) || left->op != TREE_XOR) &&
        (!is_bare(right, TREE_BINARY) || right->op != TREE_XOR))
        return;
    remark(env, REMARK_ORDER_OF_OR_AND_XOR, tree,
           "XOR is computed before OR here, and controllers do not agree "
           "on that");
}

void operators_advise(struct env *env, const struct tree_expr *tree,
                      const struct code_expr *left)
{
    if (!tree->span.file)
        return;
    if (is_equality(tree->op) || is_order(tree->op)) {
        negated(env, tree, left);
        chained(env, tree);
        reals(env, tree, left);
    } else if (tree->op == TREE_POWER) {
        power(env, tree);
    } else if (tree->op == TREE_OR || tree->op == TREE_OR_ELSE) {
        mixed(env, tree);
    }
}
