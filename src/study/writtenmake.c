#include "study/writtenmake.h"

#include "base/arena.h"

/* ---- what is reckoned ---- */

struct gathered {
    const struct written *of[WRITTEN_OF];
    uint32_t n;
    bool more;
};

static bool same_leaf(const struct written *a, const struct written *b)
{
    return a->op == b->op && a->index == b->index && a->value == b->value;
}

static bool same(const struct written *a, const struct written *b)
{
    return a == b || (a->op <= WRITTEN_GIVEN && same_leaf(a, b));
}

static void gather_one(struct gathered *all, const struct written *leaf)
{
    for (uint32_t i = 0; i < all->n; i++)
        if (same_leaf(all->of[i], leaf))
            return;
    if (all->n == WRITTEN_OF)
        all->more = true;
    else
        all->of[all->n++] = leaf;
}

/* Its depth is bounded by its size. */
static void gather(struct gathered *all, const struct written *expr)
{
    if (expr == NULL)
        return;
    switch (expr->op) {
    case WRITTEN_NOW: case WRITTEN_BEFORE: case WRITTEN_HAND:
    case WRITTEN_CONTACT: case WRITTEN_SENSOR: case WRITTEN_GIVEN:
    case WRITTEN_OPEN:
        gather_one(all, expr);
        return;
    default: break;
    }
    for (uint32_t i = 0; i < expr->n_of; i++)
        gather_one(all, expr->of[i]);
    all->more = all->more || expr->more;
    gather(all, expr->a);
    gather(all, expr->b);
    gather(all, expr->c);
}

const struct written *written_reckoned(struct arena *arena,
                                       const struct written *a,
                                       const struct written *b,
                                       const struct written *c)
{
    struct written *kept = ARENA_NEW(arena, struct written);
    struct gathered all = {0};

    gather(&all, a);
    gather(&all, b);
    gather(&all, c);
    *kept = (struct written){.op = WRITTEN_RECKONED, .n_of = all.n,
                             .more = all.more, .size = 1 + all.n};
    if (all.n > 0) {
        const struct written **of =
            arena_array(arena, all.n, sizeof *of);

        for (uint32_t i = 0; i < all.n; i++)
            of[i] = all.of[i];
        kept->of = of;
    }
    return kept;
}

const struct written *written_among(struct arena *arena,
                                    const struct written *a)
{
    struct written *kept = ARENA_NEW(arena, struct written);

    *kept = *written_reckoned(arena, a, NULL, NULL);
    kept->more = true;
    return kept;
}

/* ---- making ---- */

const struct written *written_made(struct arena *arena, struct written made)
{
    struct written *kept;

    made.size = 1 + (made.a ? made.a->size : 0) +
                (made.b ? made.b->size : 0) + (made.c ? made.c->size : 0);
    if (made.size > WRITTEN_MOST)
        return written_reckoned(arena, made.a, made.b, made.c);
    kept = ARENA_NEW(arena, struct written);
    *kept = made;
    return kept;
}

const struct written *written_leaf(struct arena *arena, enum written_op op,
                                   uint32_t index, const struct type *type)
{
    return written_made(arena, (struct written){.op = op, .index = index,
                                                .type = type});
}

const struct written *written_const(struct arena *arena, int64_t value,
                                    const struct type *type)
{
    return written_made(arena, (struct written){
        .op = WRITTEN_CONST, .value = value, .type = type});
}

bool written_is(const struct written *expr, int64_t value)
{
    return expr->op == WRITTEN_CONST && expr->value == value;
}

static bool is_truth(const struct written *expr)
{
    return expr->type != NULL && expr->type->kind == TYPE_BOOL;
}

const struct written *written_not(struct arena *arena,
                                  const struct written *a)
{
    if (a->op == WRITTEN_CONST)
        return written_const(arena, !a->value, a->type);
    if (a->op == WRITTEN_NOT)
        return a->a;
    return written_made(arena, (struct written){
        .op = WRITTEN_NOT, .a = a, .type = a->type});
}

/* Of two constants; false: it has no value here. */
static bool work_out(enum written_op op, int64_t a, int64_t b, int64_t *value)
{
    switch (op) {
    case WRITTEN_XOR: *value = a != b; return true;
    case WRITTEN_EQ: *value = a == b; return true;
    case WRITTEN_LT: *value = a < b; return true;
    case WRITTEN_LE: *value = a <= b; return true;
    case WRITTEN_ADD: return !__builtin_add_overflow(a, b, value);
    case WRITTEN_SUB: return !__builtin_sub_overflow(a, b, value);
    case WRITTEN_MUL: return !__builtin_mul_overflow(a, b, value);
    default: return false;
    }
}

/* AND, OR with a side that is known; NULL: neither is. */
static const struct written *known_side(enum written_op op,
                                        const struct written *a,
                                        const struct written *b)
{
    int64_t decides = op == WRITTEN_OR;

    if (written_is(a, decides) || written_is(b, !decides))
        return a;
    if (written_is(b, decides) || written_is(a, !decides))
        return b;
    return NULL;
}

const struct written *written_pair(struct arena *arena, enum written_op op,
                                   const struct written *a,
                                   const struct written *b,
                                   const struct type *type)
{
    const struct written *side = NULL;
    int64_t value;

    if (op == WRITTEN_AND || op == WRITTEN_OR)
        side = known_side(op, a, b);
    else if (op == WRITTEN_ADD && written_is(a, 0))
        side = b;
    else if ((op == WRITTEN_ADD || op == WRITTEN_SUB) && written_is(b, 0))
        side = a;
    if (side != NULL)
        return side;
    if (a->op == WRITTEN_CONST && b->op == WRITTEN_CONST &&
        work_out(op, a->value, b->value, &value))
        return written_const(arena, value, type);
    return written_made(arena, (struct written){.op = op, .a = a, .b = b,
                                                .type = type});
}

/* x + k where c holds, else x: x + (k where c holds, else 0), so that a count
 * stays a sum; NULL: it is none. */
static const struct written *counted(struct arena *arena,
                                     const struct written *condition,
                                     const struct written *yes,
                                     const struct written *no)
{
    bool within = yes->op == WRITTEN_WITHIN;
    const struct written *sum = within ? yes->a : yes, *made;

    if (sum->op != WRITTEN_ADD || !same(sum->a, no) ||
        sum->b->op != WRITTEN_CONST)
        return NULL;
    made = written_pair(arena, WRITTEN_ADD, no,
                        written_if(arena, condition, sum->b,
                                   written_const(arena, 0, sum->b->type)),
                        sum->type);
    return within ? written_made(arena, (struct written){
                        .op = WRITTEN_WITHIN, .type = yes->type, .a = made})
                  : made;
}

/* ---- what is known inside a branch ---- */

static bool equal(const struct written *a, const struct written *b)
{
    if (a == b)
        return true;
    return a != NULL && b != NULL && a->op == b->op &&
           a->index == b->index && a->value == b->value &&
           a->size == b->size && a->op != WRITTEN_RECKONED &&
           equal(a->a, b->a) && equal(a->b, b->b) && equal(a->c, b->c);
}

static const struct written *again(struct arena *arena,
                                   const struct written *expr,
                                   const struct written *a,
                                   const struct written *b)
{
    struct written made = *expr;

    if (expr->op == WRITTEN_NOT)
        return written_not(arena, a);
    if (b != NULL)
        return written_pair(arena, expr->op, a, b, expr->type);
    made.a = a;
    return written_made(arena, made);
}

/* The expression with `fact` in the place of what is equal to `known`. */
static const struct written *put_in(struct arena *arena,
                                    const struct written *expr,
                                    const struct written *known,
                                    const struct written *fact)
{
    const struct written *a, *b, *c;

    if (expr == NULL || expr->op <= WRITTEN_OPEN)
        return expr != NULL && equal(expr, known) ? fact : expr;
    if (equal(expr, known))
        return fact;
    if (expr->op <= WRITTEN_RECKONED)
        return expr;
    a = put_in(arena, expr->a, known, fact);
    b = put_in(arena, expr->b, known, fact);
    c = put_in(arena, expr->c, known, fact);
    if (a == expr->a && b == expr->b && c == expr->c)
        return expr;
    return expr->op == WRITTEN_IF ? written_if(arena, a, b, c)
                                  : again(arena, expr, a, b);
}

/* The expression where the condition holds, or (yes FALSE) does not. */
static const struct written *suppose(struct arena *arena,
                                     const struct written *expr,
                                     const struct written *condition,
                                     bool yes)
{
    if (condition->op == WRITTEN_NOT)
        return suppose(arena, expr, condition->a, !yes);
    if (condition->op == (yes ? WRITTEN_AND : WRITTEN_OR)) {
        expr = suppose(arena, expr, condition->a, yes);
        return suppose(arena, expr, condition->b, yes);
    }
    return put_in(arena, expr, condition,
                  written_const(arena, yes, condition->type));
}

/* ---- both ways ---- */

/* Of two values. */
static const struct written *if_truth(struct arena *arena,
                                      const struct written *condition,
                                      const struct written *yes,
                                      const struct written *no)
{
    const struct type *truth = condition->type;

    if (written_is(yes, 1))
        return written_pair(arena, WRITTEN_OR, condition, no, truth);
    if (written_is(no, 0))
        return written_pair(arena, WRITTEN_AND, condition, yes, truth);
    if (written_is(yes, 0))
        return written_pair(arena, WRITTEN_AND,
                            written_not(arena, condition), no, truth);
    if (written_is(no, 1))
        return written_pair(arena, WRITTEN_OR, written_not(arena, condition),
                            yes, truth);
    return NULL;
}

/* The first of several ways apart from the others: (p or q) ? (p ? x : y) : z
 * is p ? x : (q ? y : z).  NULL: yes is none of that kind. */
static const struct written *one_by_one(struct arena *arena,
                                        const struct written *condition,
                                        const struct written *yes,
                                        const struct written *no)
{
    const struct type *truth = condition->type;
    const struct written *so, *others;

    if (condition->op != WRITTEN_OR || yes->op != WRITTEN_IF)
        return NULL;
    so = put_in(arena, condition, yes->a, written_const(arena, 1, truth));
    if (!written_is(so, 1))
        return NULL;
    others = put_in(arena, condition, yes->a, written_const(arena, 0, truth));
    return written_if(arena, yes->a, yes->b,
                      written_if(arena, others, yes->c, no));
}

const struct written *written_if(struct arena *arena,
                                 const struct written *condition,
                                 const struct written *yes,
                                 const struct written *no)
{
    const struct written *made = NULL;

    if (condition->op == WRITTEN_CONST)
        return condition->value != 0 ? yes : no;
    if (condition->op == WRITTEN_NOT)
        return written_if(arena, condition->a, no, yes);
    if (same(yes, no))
        return yes;
    made = counted(arena, condition, yes, no);
    if (made == NULL)
        made = counted(arena, written_not(arena, condition), no, yes);
    if (made != NULL)
        return made;
    yes = suppose(arena, yes, condition, true);
    no = suppose(arena, no, condition, false);
    if (same(yes, no))
        return yes;
    if (is_truth(yes) || is_truth(no))
        made = if_truth(arena, condition, yes, no);
    else
        made = one_by_one(arena, condition, yes, no);
    if (made != NULL)
        return made;
    return written_made(arena, (struct written){
        .op = WRITTEN_IF, .a = condition, .b = yes, .c = no,
        .type = yes->type});
}
