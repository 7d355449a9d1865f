#include "tests/bench/many.h"

#include <stdlib.h>

void own(BDD *slot, BDD result)
{
    bdd_addref(result);
    bdd_delref(*slot);
    *slot = result;
}

static struct many make(uint32_t n)
{
    struct many m = {n, calloc(n + 1, sizeof *m.value),
                     calloc(n + 1, sizeof *m.at)};

    return m;
}

struct many many_constant(int64_t value)
{
    struct many m = make(1);

    m.value[0] = value;
    m.at[0] = bdd_true();
    return m;
}

struct many many_truth(BDD yes)
{
    struct many m = make(2);

    m.value[0] = 0;
    m.value[1] = 1;
    m.at[0] = bdd_addref(bdd_not(yes));
    m.at[1] = bdd_addref(yes);
    return m;
}

BDD many_yes(const struct many *m)
{
    BDD yes = bdd_false();

    for (uint32_t i = 0; i < m->n; i++)
        if (m->value[i])
            own(&yes, bdd_or(yes, m->at[i]));
    return yes;
}

struct pair {
    int64_t value;
    BDD at;
};

static int ascending(const void *a, const void *b)
{
    int64_t x = ((const struct pair *)a)->value;
    int64_t y = ((const struct pair *)b)->value;

    return (x > y) - (x < y);
}

/* Sorted pairs; equal values become one. */
static struct many merge(const struct pair *pairs, uint32_t n)
{
    struct many m = make(n);

    m.n = 0;
    for (uint32_t i = 0; i < n; i++) {
        if (m.n && m.value[m.n - 1] == pairs[i].value) {
            own(&m.at[m.n - 1], bdd_or(m.at[m.n - 1], pairs[i].at));
            bdd_delref(pairs[i].at);
            continue;
        }
        m.value[m.n] = pairs[i].value;
        m.at[m.n++] = pairs[i].at;
    }
    return m;
}

struct many many_of(uint32_t n, int64_t *value, BDD *at)
{
    struct pair *pairs = calloc(n + 1, sizeof *pairs);
    struct many m;

    for (uint32_t i = 0; i < n; i++)
        pairs[i] = (struct pair){value[i], at[i]};
    qsort(pairs, n, sizeof *pairs, ascending);
    m = merge(pairs, n);
    free(pairs);
    free(value);
    free(at);
    return m;
}

static int64_t compute(enum flat_op op, int64_t a, int64_t b)
{
    switch (op) {
    case FLAT_EQ: return a == b;
    case FLAT_LT: return a < b;
    case FLAT_LE: return a <= b;
    case FLAT_ADD: return a + b;
    case FLAT_SUB: return a - b;
    case FLAT_MUL: return a * b;
    case FLAT_DIV: return b ? a / b : 0;
    case FLAT_MOD: return b ? a % b : 0;
    case FLAT_MEET: return a & b;
    default: abort();
    }
}

static struct many infix(enum flat_op op, const struct many *a,
                         const struct many *b)
{
    struct many m = make(a->n * b->n);
    uint32_t n = 0;

    for (uint32_t i = 0; i < a->n; i++)
        for (uint32_t j = 0; j < b->n; j++) {
            BDD both = bdd_and(a->at[i], b->at[j]);

            if (both == bdd_false())
                continue;
            m.at[n] = bdd_addref(both);
            m.value[n++] = compute(op, a->value[i], b->value[j]);
        }
    return many_of(n, m.value, m.at);
}

static struct many either(const struct many *a, const struct many *b,
                          const struct many *c)
{
    struct many m = make(b->n + c->n);
    BDD yes = many_yes(a), no = bdd_addref(bdd_not(yes));
    uint32_t n = 0;

    for (uint32_t i = 0; i < b->n + c->n; i++) {
        bool first = i < b->n;
        BDD from = first ? b->at[i] : c->at[i - b->n];
        BDD at = bdd_and(first ? yes : no, from);

        if (at == bdd_false())
            continue;
        m.at[n] = bdd_addref(at);
        m.value[n++] = first ? b->value[i] : c->value[i - b->n];
    }
    bdd_delref(yes);
    bdd_delref(no);
    return many_of(n, m.value, m.at);
}

static struct many junction(enum flat_op op, const struct many *a,
                            const struct many *b)
{
    BDD x = many_yes(a), y = many_yes(b);
    BDD r = op == FLAT_AND ? bdd_and(x, y)
            : op == FLAT_OR ? bdd_or(x, y) : bdd_xor(x, y);
    struct many m = many_truth(bdd_addref(r));

    bdd_delref(r);
    bdd_delref(x);
    bdd_delref(y);
    return m;
}

struct many many_apply(enum flat_op op, const struct many *a,
                       const struct many *b, const struct many *c)
{
    if (op == FLAT_NOT) {
        BDD x = many_yes(a), no = bdd_addref(bdd_not(x));
        struct many m = many_truth(no);

        bdd_delref(no);
        bdd_delref(x);
        return m;
    }
    if (op == FLAT_AND || op == FLAT_OR || op == FLAT_XOR)
        return junction(op, a, b);
    if (op == FLAT_ITE)
        return either(a, b, c);
    return infix(op, a, b);
}
