#include "study/cause.h"


/* ---- facts ---- */

struct fact cause_fact(const struct trace *trace, enum trace_thing thing,
                       uint32_t index, uint64_t below, uint32_t scan)
{
    return (struct fact){
        .thing = thing,
        .index = index,
        .value = trace_value(trace, thing, index, below),
        .below = below,
        .scan = scan,
        .since = trace_since(trace, thing, index, below),
        .held = -1,
    };
}

static bool is_at_rest(const struct trace *trace, const struct fact *fact)
{
    const struct model *model = trace->model;
    const struct choice *row;

    if (fact->thing == THING_HAND)
        row = &model->choices[model->controls[fact->index].choice];
    else if (fact->thing == THING_SLOT &&
             model->slots[fact->index].driver == DRIVER_CHOICE)
        row = &model->choices[model->slots[fact->index].driver_index];
    else
        return fact->thing == THING_POWER && fact->value == 1;
    return row->values[row->rest] == fact->value;
}

bool cause_idle(const struct trace *trace, const struct fact *fact)
{
    if (fact->thing == THING_SLOT &&
        trace->model->slots[fact->index].driver == DRIVER_FIXED)
        return true;
    return fact->since == 0 ? fact->thing == THING_FAULT ||
                                  is_at_rest(trace, fact)
                            : fact->thing == THING_POWER && fact->since == 1;
}

static bool same(const struct fact *a, const struct fact *b)
{
    return a->thing == b->thing && a->index == b->index;
}

void cause_place(struct account *account, struct span span)
{
    if (span.file == 0)
        return;
    for (uint32_t i = 0; i < account->n_places; i++)
        if (account->places[i].file == span.file &&
            account->places[i].from == span.from)
            return;
    if (account->n_places < PLACES_MOST)
        account->places[account->n_places++] = span;
}

void cause_add(const struct trace *trace, struct account *account,
               struct fact fact)
{
    fact = cause_behind(trace, fact, account);
    for (uint32_t i = 0; i < account->n; i++) {
        struct fact *other = &account->at[i];

        if (!same(other, &fact) || other->value == fact.value)
            continue;
        /* "is on and was off before" is one fact: it came on. */
        if (other->scan < fact.scan && fact.since == fact.scan)
            *other = fact;
        else if (fact.scan < other->scan && other->since == other->scan)
            return;
    }
    for (uint32_t i = 0; i < account->n; i++)
        if (same(&account->at[i], &fact) &&
            account->at[i].value == fact.value)
            return;
    if (account->n < CAUSES_MOST)
        account->at[account->n++] = fact;
    else
        account->more = true;
}

/* ---- what a line gives ---- */

static int64_t sound(const struct trace *trace, uint32_t line,
                     const struct trace_event *event)
{
    const struct contact *contact = &trace->model->contacts[line];
    int64_t hand;

    if (line >= trace->model->n_contacts)
        return event->node ? event->node->value : event->value;
    hand = trace_value(trace, THING_HAND, contact->control, event->serial);
    switch (contact->kind) {
    case CONTACT_CLOSING: return hand != 0;
    case CONTACT_OPENING: return hand == 0;
    case CONTACT_ON: return hand == contact->position;
    default: return hand;
    }
}

/* ---- handing on ---- */

static struct fact again(const struct trace *trace, const struct fact *fact,
                         enum trace_thing thing, uint32_t index,
                         const struct trace_event *event)
{
    struct fact next = cause_fact(trace, thing, index, event->serial,
                                  event->scan);

    next.held = fact->held;
    return next;
}

/* An argument that is a variable as it stands. */
static bool is_plain(const struct trace_event *event)
{
    return event->kind == TRACE_ASSIGN && event->argument && event->node &&
           event->node->expr && event->node->thing != THING_NONE &&
           event->node->expr->op != CODE_CALL && !event->node->before &&
           event->node->n_indices == 0;
}

static bool behind_line(const struct trace *trace, struct fact *fact,
                        const struct trace_event *event)
{
    uint32_t line = fact->index;

    if (line >= trace->model->n_contacts ||
        sound(trace, line, event) != event->value)
        return false;
    *fact = again(trace, fact, THING_HAND,
                  trace->model->contacts[line].control, event);
    return true;
}

static bool behind_sample(const struct trace *trace, struct fact *fact,
                          const struct trace_event *event)
{
    const struct slot *slot = &trace->model->slots[fact->index];

    if (slot->driver == DRIVER_CONTACT)
        *fact = again(trace, fact, THING_LINE, slot->driver_index, event);
    else if (slot->driver == DRIVER_SENSOR)
        *fact = again(trace, fact, THING_LINE,
                      trace->model->n_contacts + slot->driver_index, event);
    else
        return false;
    return true;
}

static bool behind_once(const struct trace *trace, struct fact *fact,
                        struct account *passed)
{
    const struct trace_event *event =
        trace_last(trace, fact->thing, fact->index, fact->below);

    if (event == NULL || event->scan != fact->scan)
        return false;
    if (fact->thing == THING_LINE)
        return behind_line(trace, fact, event);
    if (event->kind == TRACE_SAMPLE)
        return behind_sample(trace, fact, event);
    if (!is_plain(event))
        return false;
    cause_place(passed, event->span);
    *fact = again(trace, fact, event->node->thing, event->node->index, event);
    return true;
}

struct fact cause_behind(const struct trace *trace, struct fact fact,
                         struct account *passed)
{
    while (fact.thing != THING_NONE && behind_once(trace, &fact, passed))
        ;
    return fact;
}

/* ---- passes of loops ---- */

static bool is_loop(const struct trace_guard *guard)
{
    return guard->stmt->kind >= CODE_FOR;
}

/* The first pass of the loop of which this is one, and which one it is. */
static const struct trace_guard *first_pass(const struct trace_guard *guard,
                                            uint32_t *pass)
{
    const struct trace_guard *first = guard;

    *pass = 1;
    for (guard = guard->outer; guard != NULL; guard = guard->outer) {
        bool same = guard->stmt == first->stmt && guard->base == first->base;

        if (is_loop(guard) && !same)
            break;
        *pass += same;
        first = same ? guard : first;
    }
    return first;
}

const struct trace_guard *cause_outer(const struct trace_guard *guard)
{
    const struct trace_guard *first;
    uint32_t pass;

    if (!is_loop(guard))
        return guard->outer;
    first = first_pass(guard, &pass);
    return first != guard && guard->stmt->kind == CODE_FOR ? first
                                                           : first->outer;
}

/* Behind a loop that can lead out of its POU its guards stand as well: it
 * has ended, or EXIT ended it.  Gives the loop that ended, or NULL. */
static const struct code_stmt *ended(const struct trace_guard *guard)
{
    if (is_loop(guard) && guard->taken == guard->stmt->n_branches)
        return guard->stmt;
    return guard->left != NULL && guard->left->kind == CODE_EXIT
               ? guard->left->loop->stmt : NULL;
}

uint32_t cause_pass(const struct trace_guard *guard)
{
    uint32_t pass = 0;

    while (guard != NULL && (!is_loop(guard) || ended(guard) != NULL)) {
        const struct code_stmt *loop = ended(guard);

        while (loop != NULL && guard->stmt != loop)
            guard = guard->outer;
        guard = loop != NULL ? first_pass(guard, &pass)->outer : guard->outer;
    }
    pass = 0;
    if (guard != NULL)
        first_pass(guard, &pass);
    return pass;
}

/* ---- expressions ---- */

static bool is_and(const struct trace_node *node)
{
    return node->expr->op == CODE_AND || node->expr->op == CODE_AND_THEN;
}

static bool is_negated_pair(const struct trace_node *node)
{
    return is_and(node) || node->expr->op == CODE_OR ||
           node->expr->op == CODE_OR_ELSE;
}

static int64_t max(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

/* One side alone decides. */
static bool one_decides(const struct trace_node *node)
{
    return is_negated_pair(node) &&
           is_and(node) == (node->value == 0) &&
           node->left && node->right;
}

static int64_t newest(const struct trace *trace,
                      const struct trace_node *node);

static const struct trace_node *decider(const struct trace *trace,
                                        const struct trace_node *node)
{
    bool wanted = node->value != 0;

    if ((node->left->value != 0) != wanted)
        return node->right;
    if ((node->right->value != 0) != wanted)
        return node->left;
    return newest(trace, node->left) >= newest(trace, node->right)
               ? node->left : node->right;
}

static struct fact fact_of(const struct trace *trace,
                           const struct trace_node *node)
{
    uint64_t below = node->serial;
    uint32_t scan = node->scan;

    if (node->before) {
        below = trace_at(trace, scan)->begin;
        scan = scan > 1 ? scan - 1 : scan;
    }
    return cause_fact(trace, node->thing, node->index, below, scan);
}

/* What gave a function its result, or NULL.  The result itself is no thing
 * that lasts: the same variable serves every call. */
static const struct trace_event *result_of(const struct trace *trace,
                                           const struct trace_node *node)
{
    const struct trace_event *event;

    if (node->expr->op != CODE_CALL)
        return NULL;
    event = trace_last(trace, THING_SLOT, node->index, node->serial);
    return event != NULL && event->kind == TRACE_ASSIGN && event->node != NULL
               ? event : NULL;
}

static int64_t newest_of(const struct trace *trace, struct fact fact)
{
    struct account passed = {0};

    fact = cause_behind(trace, fact, &passed);
    return cause_idle(trace, &fact) ? -1 : (int64_t)fact.since;
}

/* Of an element: which one it is counts as well as what it holds. */
static int64_t newest_element(const struct trace *trace,
                              const struct trace_node *node)
{
    int64_t scan = newest_of(trace, fact_of(trace, node));

    for (uint32_t i = 0; i < node->n_indices; i++)
        scan = max(scan, newest(trace, node->indices[i]));
    return scan;
}

/* The scan of the latest change that this expression rests on; -1: none, it
 * is idle. */
static int64_t newest(const struct trace *trace,
                      const struct trace_node *node)
{
    if (node == NULL || node->expr == NULL)
        return -1;
    if (result_of(trace, node) != NULL)
        return newest(trace, result_of(trace, node)->node);
    if (one_decides(node))
        return newest(trace, decider(trace, node));
    if (node->n_indices > 0)
        return newest_element(trace, node);
    if (node->thing == THING_NONE)
        return max(newest(trace, node->left), newest(trace, node->right));
    return newest_of(trace, fact_of(trace, node));
}

static void decide_clock(const struct trace *trace,
                         const struct trace_node *node,
                         struct account *account)
{
    uint32_t first = account->n;

    cause_decide(trace, node->left, account);
    for (uint32_t i = first; node->value != 0 && i < account->n; i++)
        account->at[i].held =
            trace->model->clocks[node->expr->index].limit.judged;
}

static void decide_result(const struct trace *trace,
                          const struct trace_node *node,
                          struct account *account)
{
    const struct trace_event *event = result_of(trace, node);
    const struct trace_guard *guard = event->guard;

    cause_place(account, event->span);
    cause_decide(trace, event->node, account);
    for (; guard != NULL && guard->base == node->expr->pou->frame;
         guard = cause_outer(guard))
        for (uint32_t i = guard->n_conditions; i-- > 0;)
            cause_decide(trace, guard->condition[i], account);
}

void cause_decide(const struct trace *trace, const struct trace_node *node,
                  struct account *account)
{
    if (node == NULL || node->expr == NULL)
        return;
    cause_place(account, node->expr->declared);
    if (node->expr->op == CODE_TRUE_FOR) {
        decide_clock(trace, node, account);
    } else if (result_of(trace, node) != NULL) {
        decide_result(trace, node, account);
    } else if (node->thing != THING_NONE) {
        cause_add(trace, account, fact_of(trace, node));
        for (uint32_t i = 0; i < node->n_indices; i++)
            cause_decide(trace, node->indices[i], account);
    } else if (one_decides(node)) {
        cause_decide(trace, decider(trace, node), account);
    } else {
        cause_decide(trace, node->left, account);
        cause_decide(trace, node->right, account);
    }
}
