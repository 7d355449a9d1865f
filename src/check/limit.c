#include "check/limit.h"

#include "check/sight.h"

/* A value seen at a judging lasts until the next one, at most the longest
 * scan: where the strict side is the shorter one, what has lasted longer than
 * wanted less that scan may already be too long.  For scans that all take
 * the same time that is rounding down to whole scans. */
static int64_t rounded(const struct draft *draft, int64_t wanted,
                       enum limit_sign sign)
{
    int64_t step = draft->scan_step;
    int64_t whole = wanted / step * step;

    if (sign != LIMIT_SHORTER)
        return wanted % step ? whole + step : whole;
    whole -= draft->model->scan - step;
    return whole > 0 ? whole : 0;
}

bool limit_judge(struct draft *draft, struct limit *limit,
                 enum limit_sign sign, uint32_t events, struct span span)
{
    int64_t scan = draft->model->scan;
    int64_t shift;

    limit->events = limit->sampled ? 0 : events;
    shift = sign == LIMIT_SHORTER ? -(int64_t)limit->events
                                  : (int64_t)limit->events;
    limit->judged = rounded(draft, limit->wanted, sign) + shift * scan;
    if (limit->judged >= 0)
        return true;
    diag_add(draft->diags, DIAG_ERROR, span,
             "use a longer time or a shorter scan, or say SAMPLED",
             "the time T#%lldms cannot be judged at a scan of T#%lldms: %u "
             "changes between two samplings leave less than nothing of it",
             (long long)limit->wanted, (long long)scan, limit->events);
    return false;
}

/* ---- TRUE FOR ---- */

struct search {
    struct draft *draft;
    const struct requirement *requirement;
};

static enum limit_sign turned(enum limit_sign sign)
{
    return sign == LIMIT_SHORTER  ? LIMIT_LONGER
           : sign == LIMIT_LONGER ? LIMIT_SHORTER
                                  : sign;
}

static void look_around(const struct draft *draft,
                        const struct requirement *requirement,
                        const struct code_expr *except, struct sight *sight)
{
    sight_add(draft, requirement->a, except, sight);
    sight_add(draft, requirement->b, except, sight);
    sight_add(draft, requirement->c, except, sight);
    for (uint32_t i = 0; i < requirement->n_started_by; i++)
        sight_add(draft, requirement->started_by[i], except, sight);
    for (uint32_t i = 0; i < requirement->n_cancelled_by; i++)
        sight_add(draft, requirement->cancelled_by[i], except, sight);
}

static void judge_clock(const struct search *search,
                        const struct code_expr *term, enum limit_sign sign)
{
    struct clock *clock = &search->draft->clocks.at[term->index];
    struct sight inner = {0}, rest = {0};

    if (sign == LIMIT_BOTH && !clock->limit.sampled) {
        diag_add(
            search->draft->diags, DIAG_ERROR, clock->span,
            "write SAMPLED behind the time, or take the term out of =, "
            "XOR, AT LEAST",
            "here neither a longer nor a shorter time is the strict "
            "side");
        return;
    }
    sight_add(search->draft, clock->held, NULL, &inner);
    look_around(search->draft, search->requirement, term, &rest);
    limit_judge(search->draft, &clock->limit, sign,
                (uint32_t)inner.outside + (uint32_t)rest.outside,
                clock->span);
}

static void find_clocks(struct search *search, const struct code_expr *expr,
                        enum limit_sign sign)
{
    enum limit_sign below = LIMIT_BOTH;

    if (!expr)
        return;
    if (expr->op == CODE_NOT)
        below = turned(sign);
    else if (expr->op == CODE_AND || expr->op == CODE_OR ||
             expr->op == CODE_AND_THEN || expr->op == CODE_OR_ELSE ||
             expr->op == CODE_TRUE_FOR)
        below = sign;
    if (expr->op == CODE_TRUE_FOR)
        judge_clock(search, expr, sign);
    for (uint32_t i = 0; i < expr->variable.n_steps; i++)
        find_clocks(search, expr->variable.steps[i].value, LIMIT_BOTH);
    find_clocks(search, expr->left, below);
    find_clocks(search, expr->right, below);
    for (uint32_t i = 0; i < expr->n_args; i++)
        find_clocks(search, expr->args[i].value, LIMIT_BOTH);
}

void limit_sampled(struct draft *draft, const struct code_expr *expr)
{
    const struct requirement none = {0};
    struct search search = {draft, &none};

    find_clocks(&search, expr, LIMIT_BOTH);
}

/* Signs of a, b, c: does a true value there make the breach easier (a
 * shorter time is strict) or harder? */
static const struct {
    enum limit_sign a, b, c;
} signs[] = {
    [FORM_NEVER] = {LIMIT_SHORTER, LIMIT_NONE, LIMIT_NONE},
    [FORM_ALWAYS] = {LIMIT_LONGER, LIMIT_NONE, LIMIT_NONE},
    [FORM_ONLY_IF] = {LIMIT_SHORTER, LIMIT_LONGER, LIMIT_NONE},
    [FORM_AFTER_NO_UNTIL] = {LIMIT_SHORTER, LIMIT_SHORTER, LIMIT_LONGER},
    [FORM_WHEN_THEN_WITHIN] = {LIMIT_SHORTER, LIMIT_LONGER, LIMIT_LONGER},
    [FORM_NO_LONGER] = {LIMIT_SHORTER, LIMIT_NONE, LIMIT_NONE},
    [FORM_AT_LEAST] = {LIMIT_BOTH, LIMIT_NONE, LIMIT_NONE},
    [FORM_MOVES_ONLY_WHILE] = {LIMIT_BOTH, LIMIT_NONE, LIMIT_LONGER},
    [FORM_BY_ITSELF] = {LIMIT_BOTH, LIMIT_LONGER, LIMIT_NONE},
    [FORM_POSSIBLE] = {LIMIT_NONE, LIMIT_NONE, LIMIT_LONGER},
    [FORM_POSSIBLE_AGAIN] = {LIMIT_NONE, LIMIT_BOTH, LIMIT_LONGER}};

static void judge_own(struct draft *draft, struct requirement *requirement)
{
    struct sight a = {0}, b = {0};
    uint32_t events;

    sight_add(draft, requirement->a, NULL, &a);
    sight_add(draft, requirement->b, NULL, &b);
    events = requirement->form == FORM_WHEN_THEN_WITHIN
                 ? (uint32_t)a.outside + (uint32_t)b.outside
                 : 2 * (uint32_t)a.outside;
    limit_judge(draft, &requirement->limit,
                requirement->form == FORM_AT_LEAST ? LIMIT_LONGER
                                                   : LIMIT_SHORTER,
                events, requirement->span);
}

void limit_requirement(struct draft *draft, struct requirement *requirement)
{
    struct search search = {draft, requirement};
    enum form form = requirement->form;

    find_clocks(&search, requirement->a, signs[form].a);
    find_clocks(&search, requirement->b, signs[form].b);
    find_clocks(&search, requirement->c, signs[form].c);
    for (uint32_t i = 0; i < requirement->n_started_by; i++)
        find_clocks(&search, requirement->started_by[i], LIMIT_BOTH);
    for (uint32_t i = 0; i < requirement->n_cancelled_by; i++)
        find_clocks(&search, requirement->cancelled_by[i], LIMIT_SHORTER);
    if (form == FORM_WHEN_THEN_WITHIN || form == FORM_NO_LONGER ||
        form == FORM_AT_LEAST)
        judge_own(draft, requirement);
}
