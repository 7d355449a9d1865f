#include "check/meet.h"

#include "check/typing.h"

bool meet_is_literal(const struct env *env, const struct code_expr *expr)
{
    return expr->type == env->draft->types.literal;
}

static bool has_bits(const struct type *type)
{
    return type->kind == TYPE_INTEGER || type->kind == TYPE_BITS;
}

bool meet_widens(const struct type *from, const struct type *to)
{
    const struct type *a = type_base(from), *b = type_base(to);
    bool ulint = a->kind == TYPE_INTEGER && !a->low && a->high == INT64_MAX;

    if (a == b || (a->kind == TYPE_ENUM && type_fits(a, b)))
        return true;
    return a->kind == b->kind && has_bits(a) && a->low >= b->low &&
           a->high <= b->high && !ulint;
}

/* A narrower type of the same kind and sign takes the values that fit. */
bool meet_stores(const struct type *from, const struct type *to)
{
    const struct type *a = type_base(from), *b = type_base(to);

    return meet_widens(a, b) ||
           (a->kind == TYPE_INTEGER && b->kind == TYPE_INTEGER &&
            (a->low < 0) == (b->low < 0));
}

static const struct type *with_literal(struct env *env,
                                       const struct code_expr *literal,
                                       const struct type *base)
{
    if (!has_bits(base) || (type_unsigned(base) && literal->value < 0))
        return NULL;
    if (literal->value >= base->low && literal->value <= base->high)
        return base;
    return base->kind == TYPE_BITS ? NULL : env->draft->types.lint;
}

const struct type *meet_types(struct env *env, const struct code_expr *left,
                              const struct code_expr *right)
{
    const struct type *a = type_base(left->type);
    const struct type *b = type_base(right->type);

    if (meet_is_literal(env, left) && meet_is_literal(env, right))
        return a;
    if (meet_is_literal(env, left))
        return with_literal(env, left, b);
    if (meet_is_literal(env, right))
        return with_literal(env, right, a);
    return meet_widens(a, b) ? b : meet_widens(b, a) ? a : NULL;
}

void meet_adopt(struct env *env, struct code_expr *expr,
                const struct type *type)
{
    if (meet_is_literal(env, expr))
        expr->type = type;
}

static bool converts(const struct type *from, const struct type *to)
{
    return type_base(from)->name && type_base(to)->name &&
           (has_bits(to) || to->kind == TYPE_BOOL || to->kind == TYPE_TIME);
}

const char *meet_hint(struct env *env, const struct type *from,
                      const struct type *to, const char *otherwise)
{
    if (type_base(from) == type_base(to) ||
        from == env->draft->types.literal || !converts(from, to) ||
        (from->kind == TYPE_BOOL && to->kind == TYPE_TIME))
        return otherwise;
    return arena_printf(env->draft->arena, "write %s_TO_%s(...) around it",
                        type_words(type_base(from)),
                        type_words(type_base(to)));
}

static const char *both_ways(struct env *env, const struct type *a,
                             const struct type *b)
{
    return arena_printf(env->draft->arena,
                        "convert one side with %s_TO_%s(...) or "
                        "%s_TO_%s(...), or declare both with one type that "
                        "holds the values of both",
                        type_words(a), type_words(b), type_words(b),
                        type_words(a));
}

struct code_expr *meet_mismatch(struct env *env,
                                const struct code_expr *left,
                                const struct code_expr *right,
                                struct span span)
{
    const struct type *a = type_base(left->type);
    const struct type *b = type_base(right->type);
    const struct code_expr *number = meet_is_literal(env, left) ? left : right;
    const struct type *other = number == left ? b : a;
    bool literal = meet_is_literal(env, number);

    if (literal && other->kind == TYPE_BITS) {
        diag_add(env->draft->diags, DIAG_ERROR, number->span,
                 arena_printf(env->draft->arena, "write a value up to 16#%llX",
                              type_unsigned(other) ? -1LL
                                                   : (long long)other->high),
                 "the number does not fit the type %s", type_words(other));
        return NULL;
    }
    if (a == b) {
        diag_add(env->draft->diags, DIAG_ERROR, span,
                 "compute with numbers, and convert the result",
                 "two values of the type %s are not put together so",
                 type_words(a));
        return NULL;
    }
    diag_add(env->draft->diags, DIAG_ERROR, span,
             !literal && has_bits(a) && has_bits(b) && a != b
                 ? both_ways(env, a, b)
                 : "compare and compute values of one type",
             "the types %s and %s do not meet", type_words(left->type),
             type_words(right->type));
    return NULL;
}
