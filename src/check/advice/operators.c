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
                         .hint = "write parentheses around what belongs "
                                 "together"},
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
    } else if (tree->op == TREE_OR || tree->op == TREE_OR_ELSE) {
        mixed(env, tree);
    }
}
