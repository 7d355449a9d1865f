#include "study/judged.h"

#include "base/ensure.h"

struct judged {
    const struct trace *trace;
    const struct requirement *asked;
    const struct trace_judging *now;
    struct account *account;
    uint32_t last; /* scan */
};

static const struct trace_judging *at(const struct judged *j, uint32_t scan)
{
    return &trace_at(j->trace, scan)->judging;
}

static void decide(const struct judged *j, const struct trace_node *node)
{
    cause_decide(j->trace, node, j->account);
}

static bool holds(const struct trace_node *node)
{
    return node != NULL && node->value != 0;
}

/* The latest scan in which a held; 0: none. */
static uint32_t latest_a(const struct judged *j)
{
    for (uint32_t scan = j->last; scan >= j->trace->first; scan--)
        if (holds(at(j, scan)->a))
            return scan;
    return 0;
}

/* The scan whose a opened what is still open. */
static uint32_t opened(const struct judged *j)
{
    uint32_t scan = j->last;

    while (scan > j->trace->first && at(j, scan - 1)->flag)
        scan--;
    return scan;
}

static void after_no_until(struct judged *j)
{
    uint32_t scan = latest_a(j);

    j->account->start = scan;
    decide(j, j->now->b);
    if (scan != 0)
        decide(j, at(j, scan)->a);
}

static void within(struct judged *j)
{
    j->account->start = opened(j);
    decide(j, j->now->b);
    decide(j, at(j, j->account->start)->a);
}

static void at_least(struct judged *j)
{
    decide(j, j->now->a);
    if (j->last == j->trace->first)
        return;
    j->last--;
    j->account->start = opened(j);
    decide(j, at(j, j->account->start)->a);
}

static void moves(struct judged *j)
{
    const struct trace_judging *before;

    decide(j, j->now->a);
    if (j->last == j->trace->first)
        return;
    before = at(j, j->last - 1);
    decide(j, j->asked->c != NULL ? before->c : before->b);
}

/* What disarmed it last, if anything did since it was armed. */
static void disarmed(struct judged *j)
{
    for (uint32_t scan = j->last; scan >= j->trace->first; scan--) {
        const struct trace_judging *judging = at(j, scan);

        for (uint32_t i = 0; i < j->asked->n_cancelled_by; i++) {
            if (!holds(judging->cancelled[i]))
                continue;
            j->account->start = scan;
            decide(j, judging->cancelled[i]);
            return;
        }
        for (uint32_t i = 0; i < j->asked->n_started_by; i++)
            if (holds(judging->started[i]) && scan < j->last)
                return;
    }
}

void judged_account(const struct trace *trace, struct account *account)
{
    struct judged j = {
        .trace = trace,
        .asked = &trace->model->requirements[trace->requirement],
        .last = trace->first + trace->n_scans - 1,
        .account = account,
    };

    *account = (struct account){.kind = ACCOUNT_JUDGED};
    j.now = at(&j, j.last);
    switch (j.asked->form) {
    case FORM_AFTER_NO_UNTIL: after_no_until(&j); break;
    case FORM_WHEN_THEN_WITHIN: within(&j); break;
    case FORM_AT_LEAST: at_least(&j); break;
    case FORM_MOVES_ONLY_WHILE: moves(&j); break;
    case FORM_NO_LONGER:
        j.account->start = opened(&j);
        decide(&j, j.now->a);
        break;
    case FORM_BY_ITSELF:
        decide(&j, j.now->a);
        disarmed(&j);
        break;
    default:
        decide(&j, j.now->a);
        decide(&j, j.now->b);
        break;
    }
    if (j.now->noticed != NULL)
        decide(&j, j.now->noticed);
}

void judged_error(const struct trace *trace, struct account *account)
{
    *account = (struct account){.kind = ACCOUNT_ERROR};
    ENSURE(trace->error != NULL);
    if (trace->error->expr != NULL)
        cause_place(account, trace->error->expr->span);
    cause_decide(trace, trace->error, account);
}
