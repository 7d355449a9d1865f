#include "logic/fact.h"

enum { STEPS_MOST = 48, DEPTH_MOST = 4 };

static const struct range yes = {1, 1}, no = {0, 0};

static struct fact fact_negated(struct fact fact)
{
    fact.except = !fact.except;
    return fact;
}

/* A literal as a fact.  The operators of relate.h put a constant second in
 * FLAT_EQ, on either side in FLAT_LE. */
static struct fact fact_of(const struct flat_node *nodes, flat_expr expr)
{
    const struct flat_node *node = &nodes[expr];

    if (node->op == FLAT_NOT)
        return fact_negated(fact_of(nodes, node->a));
    if (node->op == FLAT_EQ && nodes[node->b].op == FLAT_CONST)
        return (struct fact){node->a, false,
                             {nodes[node->b].value, nodes[node->b].value}};
    if (node->op == FLAT_LE && nodes[node->b].op == FLAT_CONST)
        return (struct fact){node->a, false,
                             {INT64_MIN, nodes[node->b].value}};
    if (node->op == FLAT_LE && nodes[node->a].op == FLAT_CONST)
        return (struct fact){node->b, false,
                             {nodes[node->a].value, INT64_MAX}};
    return (struct fact){expr, false, yes};
}

static struct range own_range(const struct flat_node *nodes, flat_expr expr)
{
    return (struct range){nodes[expr].low, nodes[expr].high};
}

/* As far as possible an exception is turned into the range that is left. */
static struct fact fact_settled(const struct flat_node *nodes,
                                struct fact fact)
{
    struct range own = own_range(nodes, fact.of);

    if (!fact.except)
        return fact;
    if (fact.range.low <= own.low && fact.range.high < own.high &&
        fact.range.high >= own.low)
        return (struct fact){fact.of, false,
                             {fact.range.high + 1, own.high}};
    if (fact.range.high >= own.high && fact.range.low > own.low &&
        fact.range.low <= own.high)
        return (struct fact){fact.of, false, {own.low, fact.range.low - 1}};
    return fact;
}

static bool is_junction(enum flat_op op)
{
    return op == FLAT_AND || op == FLAT_OR;
}

void facts_from(struct facts *facts, const struct flat_node *nodes,
                flat_expr expr, bool holds)
{
    struct { flat_expr expr; bool holds; } todo[STEPS_MOST + 2];
    uint32_t n = 0;

    facts->n = 0;
    todo[n].expr = expr;
    todo[n++].holds = holds;
    for (int i = 0; i < STEPS_MOST && n && facts->n < FACTS_MOST; i++) {
        flat_expr e = todo[--n].expr;
        bool is = todo[n].holds;
        struct fact fact;

        while (nodes[e].op == FLAT_NOT && is_junction(nodes[nodes[e].a].op)) {
            e = nodes[e].a;
            is = !is;
        }
        if (nodes[e].op == (is ? FLAT_AND : FLAT_OR)) {
            todo[n].expr = nodes[e].a;
            todo[n++].holds = is;
            todo[n].expr = nodes[e].b;
            todo[n++].holds = is;
            continue;
        }
        fact = fact_of(nodes, e);
        facts->at[facts->n++] =
            fact_settled(nodes, is ? fact : fact_negated(fact));
    }
}

static bool inside(struct range a, struct range b)
{
    return b.low <= a.low && a.high <= b.high;
}

static bool apart(struct range a, struct range b)
{
    return a.high < b.low || b.high < a.low;
}

/* Does `known` settle whether `asked` (never an exception) holds? */
static int settles(struct fact known, struct range own, struct range asked)
{
    if (known.except)
        return inside(asked, known.range) ? 0 : -1;
    if (!range_meet(known.range, own, &known.range))
        return -1;
    if (inside(known.range, asked))
        return 1;
    return apart(known.range, asked) ? 0 : -1;
}

static int decide_literal(const struct facts *facts,
                          const struct flat_node *nodes, flat_expr expr)
{
    struct fact asked = fact_of(nodes, expr);

    for (uint32_t i = 0; i < facts->n; i++) {
        int found;

        if (facts->at[i].of != asked.of)
            continue;
        found = settles(facts->at[i], own_range(nodes, asked.of),
                        asked.range);
        if (found >= 0)
            return asked.except ? !found : found;
    }
    return -1;
}

static int decide(const struct facts *facts, const struct flat_node *nodes,
                  flat_expr expr, int depth);

static int decide_junction(const struct facts *facts,
                           const struct flat_node *nodes, flat_expr expr,
                           int depth)
{
    int absorbing = nodes[expr].op == FLAT_OR;
    int a = decide(facts, nodes, nodes[expr].a, depth);
    int b = a == absorbing ? a : decide(facts, nodes, nodes[expr].b, depth);

    if (a == absorbing || b == absorbing)
        return absorbing;
    return a >= 0 && b >= 0 ? !absorbing : -1;
}

/* Recursion goes DEPTH_MOST deep at most. */
static int decide(const struct facts *facts, const struct flat_node *nodes,
                  flat_expr expr, int depth)
{
    const struct flat_node *node = &nodes[expr];
    int found = node->op == FLAT_CONST ? (int)node->value
                                       : decide_literal(facts, nodes, expr);

    if (found >= 0 || depth == 0)
        return found;
    if (is_junction(node->op))
        return decide_junction(facts, nodes, expr, depth - 1);
    if (node->op == FLAT_NOT) {
        found = decide(facts, nodes, node->a, depth - 1);
        return found >= 0 ? !found : -1;
    }
    return -1;
}

int facts_decide(const struct facts *facts, const struct flat_node *nodes,
                 flat_expr expr)
{
    return decide(facts, nodes, expr, DEPTH_MOST);
}

static bool narrow(const struct facts *facts, flat_expr expr,
                   struct range *range)
{
    for (uint32_t i = 0; i < facts->n; i++) {
        if (facts->at[i].of != expr || facts->at[i].except)
            continue;
        if (!range_meet(*range, facts->at[i].range, range))
            return false;
    }
    return true;
}

bool facts_range(const struct facts *facts, const struct flat_node *nodes,
                 flat_expr expr, struct range *range)
{
    const struct flat_node *node = &nodes[expr];
    struct range part;

    *range = own_range(nodes, expr);
    if (!narrow(facts, expr, range))
        return false;
    if (node->op != FLAT_ADD || nodes[node->b].op != FLAT_CONST)
        return true;
    part = own_range(nodes, node->a);
    if (!narrow(facts, node->a, &part))
        return false;
    part = range_of(FLAT_ADD, part, own_range(nodes, node->b), no);
    return range_meet(*range, part, range);
}

/* One step; expr itself when there is none. */
static flat_expr reduce_once(const struct facts *facts,
                             const struct flat_node *nodes, flat_expr expr)
{
    const struct flat_node *node = &nodes[expr];
    int a;

    if (node->op == FLAT_ITE) {
        a = facts_decide(facts, nodes, node->a);
        return a < 0 ? expr : a ? node->b : node->c;
    }
    if (!is_junction(node->op))
        return expr;
    a = node->op == FLAT_AND; /* the neutral value */
    if (facts_decide(facts, nodes, node->a) == a)
        return node->b;
    return facts_decide(facts, nodes, node->b) == a ? node->a : expr;
}

flat_expr facts_reduce(const struct facts *facts,
                       const struct flat_node *nodes, flat_expr expr)
{
    flat_expr next;

    while ((next = reduce_once(facts, nodes, expr)) != expr)
        expr = next;
    return expr;
}
