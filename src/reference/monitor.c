#include "reference/monitor.h"

#include "base/ensure.h"
#include "reference/eval.h"
#include "reference/notice.h"
#include "reference/tracing.h"

/* What the forms speak of, evaluated, and the memory before and after. */
struct monitor {
    const struct requirement *asked;
    bool a, b, c;
    int64_t x, x_previous;
    bool started, cancelled;
    bool flag;   /* open, was, armed, last_c */
    int64_t age; /* ms */
    int64_t elapsed, limit;
    bool dark;
    bool occurs; /* the form's own trigger */
    bool faulty, tolerated; /* a fault has appeared; EXCEPT counts now */
    int64_t since;          /* ms since the last one, for EXCEPT WITHIN */
};

static bool truth(struct scan *scan, const struct code_expr *expr)
{
    return expr && eval_review(scan, expr);
}

/* Each is evaluated, whether the others need it or not. */
static bool any(struct scan *scan, const struct code_expr *const *exprs,
                uint32_t n)
{
    bool found = false;

    for (uint32_t i = 0; i < n; i++)
        if (truth(scan, exprs[i]))
            found = true;
    return found;
}

/* Judged from the faults that have appeared so far, those of this scan
 * included. */
static void look_at_exception(struct scan *scan, uint32_t index,
                              struct monitor *m)
{
    const struct requirement *asked = m->asked;
    bool shown = truth(scan, asked->noticed);

    if (asked->noticed == NULL && asked->within.wanted == 0)
        return;
    m->faulty = notice_fault(scan, asked);
    if (asked->noticed != NULL) {
        m->tolerated = m->faulty && !shown;
        return;
    }
    m->since = scan_before(scan, PLACE_EXCEPT_AGE, index);
    if (notice_appears(scan, asked))
        m->since = 0;
    else if (m->faulty)
        m->since += m->elapsed;
    if (m->since > asked->within.judged)
        m->since = asked->within.judged;
    m->tolerated = m->faulty && m->since < asked->within.judged;
}

static struct monitor look(struct scan *scan, uint32_t index)
{
    const struct requirement *asked = &scan->model->requirements[index];
    struct monitor m = {
        .asked = asked,
        .flag = scan_before(scan, PLACE_MONITOR_FLAG, index),
        .age = scan_before(scan, PLACE_MONITOR_AGE, index),
        .elapsed = scan->elapsed,
        .limit = asked->limit.judged,
        .dark = scan->dark,
    };

    m.x = asked->a ? eval_review(scan, asked->a) : 0;
    m.a = m.x;
    m.occurs = m.a;
    m.b = truth(scan, asked->b);
    m.c = truth(scan, asked->c);
    if (asked->a_previous)
        m.x_previous = eval_review(scan, asked->a_previous);
    m.started = any(scan, asked->started_by, asked->n_started_by);
    m.cancelled = any(scan, asked->cancelled_by, asked->n_cancelled_by);
    look_at_exception(scan, index, &m);
    return m;
}

/* An age one scan later; beyond the limit it tells nothing more. */
static int64_t older(const struct monitor *m)
{
    int64_t age = m->age + m->elapsed;

    return age < m->limit ? age : m->limit;
}

static bool after_no_until(struct monitor *m)
{
    bool open = m->flag || m->a;

    m->flag = m->a || (m->flag && !m->c);
    return open && m->b;
}

static bool when_then_within(struct monitor *m)
{
    if (m->flag) {
        m->age = older(m);
    } else if (m->a) {
        m->flag = true;
        m->age = 0;
    }
    if (m->b || m->c) {
        m->flag = false;
        m->age = 0;
    }
    return m->flag && m->age >= m->limit;
}

static bool no_longer(struct monitor *m)
{
    m->age = m->a && m->flag ? older(m) : 0;
    m->flag = m->a;
    return m->a && m->age >= m->limit;
}

static bool at_least(struct monitor *m)
{
    int64_t lasted = m->flag ? older(m) : 0;
    bool breach;

    m->occurs = m->flag && !m->a;
    breach = m->occurs && lasted < m->limit;
    m->age = m->a ? lasted : 0;
    m->flag = m->a;
    return breach;
}

static bool moves_only_while(struct monitor *m)
{
    bool breach;

    m->occurs = m->x != m->x_previous;
    breach = m->occurs && !m->flag;
    m->flag = m->asked->c ? m->c : m->b;
    return breach;
}

static bool by_itself(struct monitor *m)
{
    bool falls = !m->x && m->x_previous;
    bool breach;

    m->occurs = m->x && !m->x_previous;
    if (m->dark || m->cancelled)
        m->flag = false;
    else if (m->started)
        m->flag = true;
    breach = m->occurs && !m->flag;
    if (falls && !m->b)
        m->flag = false;
    return breach;
}

/* What is looked for is there, or it is asked for: both only along WHILE. */
static bool possible_again(struct monitor *m)
{
    bool along = m->asked->b ? m->b : true;

    m->occurs = along && !m->c;
    return along && m->c;
}

static bool judge(struct monitor *m)
{
    switch (m->asked->form) {
    case FORM_NEVER: return m->a;
    case FORM_ALWAYS: return !m->a;
    case FORM_ONLY_IF: return m->a && !m->b;
    case FORM_AFTER_NO_UNTIL: return after_no_until(m);
    case FORM_WHEN_THEN_WITHIN: return when_then_within(m);
    case FORM_NO_LONGER: return no_longer(m);
    case FORM_AT_LEAST: return at_least(m);
    case FORM_MOVES_ONLY_WHILE: return moves_only_while(m);
    case FORM_BY_ITSELF: return by_itself(m);
    case FORM_POSSIBLE_AGAIN: return possible_again(m);
    default:
        ENSURE(m->asked->form == FORM_POSSIBLE);
        return m->asked->a ? m->a : m->c;
    }
}

/* A trigger without a condition is the one that the form itself has. */
static void note_triggers(struct scan *scan, uint32_t requirement,
                          const struct monitor *m)
{
    for (uint32_t i = 0; i < m->asked->n_triggers; i++) {
        const struct trigger *trigger = &m->asked->triggers[i];

        if (trigger->untolerated)
            scan->trigger[requirement][i] = m->faulty && !m->tolerated;
        else if (trigger->condition)
            scan->trigger[requirement][i] = truth(scan, trigger->condition);
        else
            scan->trigger[requirement][i] = m->occurs;
    }
}

void monitor_judge(struct scan *scan, uint32_t requirement)
{
    uint32_t depth = tracing_depth(scan);
    struct monitor m = look(scan, requirement);

    if (scan->failed)
        return;
    scan->breach[requirement] = judge(&m) && !m.tolerated;
    tracing_judged(scan, requirement, depth, m.flag);
    note_triggers(scan, requirement, &m);
    *scan_now(scan, PLACE_MONITOR_FLAG, requirement) = m.flag;
    *scan_now(scan, PLACE_MONITOR_AGE, requirement) = m.age;
    *scan_now(scan, PLACE_EXCEPT_AGE, requirement) = m.since;
}
