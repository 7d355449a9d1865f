#include "check/past.h"

#include "check/arith.h"

struct copying {
    struct draft *draft;
    void (*change)(void *context, struct code_expr *copy);
    void *context;
};

static struct code_expr *copy_of(const struct copying *copying,
                                 const struct code_expr *expr);

static const struct code_arg *copy_args(const struct copying *copying,
                                        const struct code_expr *expr)
{
    struct code_arg *args =
        arena_array(copying->draft->arena, expr->n_args, sizeof *args);

    for (uint32_t i = 0; i < expr->n_args; i++) {
        args[i] = expr->args[i];
        if (args[i].value)
            args[i].value = copy_of(copying, args[i].value);
    }
    return args;
}

static const struct code_index *
copy_steps(const struct copying *copying,
           const struct code_variable *variable)
{
    struct code_index *steps = arena_array(copying->draft->arena,
                                           variable->n_steps, sizeof *steps);

    for (uint32_t i = 0; i < variable->n_steps; i++) {
        steps[i] = variable->steps[i];
        steps[i].value = copy_of(copying, steps[i].value);
    }
    return steps;
}

static struct code_expr *copy_of(const struct copying *copying,
                                 const struct code_expr *expr)
{
    struct code_expr *copy =
        ARENA_NEW(copying->draft->arena, struct code_expr);

    *copy = *expr;
    copying->change(copying->context, copy);
    if (expr->variable.n_steps)
        copy->variable.steps = copy_steps(copying, &expr->variable);
    if (expr->left)
        copy->left = copy_of(copying, expr->left);
    if (expr->right)
        copy->right = copy_of(copying, expr->right);
    if (expr->n_args)
        copy->args = copy_args(copying, expr);
    return copy;
}

struct code_expr *past_copy(struct draft *draft,
                            const struct code_expr *expr,
                            void (*change)(void *context,
                                           struct code_expr *copy),
                            void *context)
{
    return copy_of(&(struct copying){draft, change, context}, expr);
}

static void make_past(void *context, struct code_expr *copy)
{
    (void)context;
    if (copy->op >= CODE_VARIABLE && copy->op <= CODE_FAULT)
        copy->when = CODE_PREVIOUS;
}

struct code_expr *past_of(struct draft *draft,
                            const struct code_expr *expr)
{
    return past_copy(draft, expr, make_past, NULL);
}

struct code_expr *past_change(struct draft *draft,
                              const struct code_expr *now,
                              const struct code_expr *before,
                              struct span span)
{
    const struct type *boolean = draft->types.boolean;
    struct code_expr *not = arith_new(draft, CODE_NOT, boolean, span);
    struct code_expr *both = arith_new(draft, CODE_AND, boolean, span);

    not ->left = before;
    both->left = now;
    both->right = not ;
    vec_push(&draft->edges, both);
    return both;
}

struct code_expr *past_rising(struct draft *draft, struct code_expr *held,
                              struct span span)
{
    return past_change(draft, held, past_of(draft, held), span);
}
