/* docs/notes/step.md, sections 5 and 13. */
#include "lower/notice.h"

#include "lower/term.h"
#include "lower/unfold.h"

/* ---- EXCEPT ---- */

static flat_expr any_fault(struct sym *sym, const struct requirement *asked)
{
    flat_expr any = term_false(sym->builder);
    for (uint32_t i = 0; i < sym->model->n_causes; i++)
        if (asked->despite_of[i])
            any = term_or(sym->builder, any, sym->cause_now[i]);
    return any;
}

static flat_expr any_new(struct sym *sym, const struct requirement *asked)
{
    flat_expr any = term_false(sym->builder);
    for (uint32_t i = 0; i < sym->model->n_causes; i++)
        if (asked->despite_of[i])
            any = term_or(sym->builder, any,
                          term_less(sym->builder, sym->cause_now[i],
                                    sym->cause[i].before));
    return any;
}

/* The time since the last one appeared; 0 before the first. */
static flat_expr since(struct sym *sym, uint32_t requirement,
                       flat_expr faulty)
{
    struct flat_builder *b = sym->builder;
    const struct requirement *asked = &sym->model->requirements[requirement];
    struct kept kept = sym->since[requirement];
    int64_t cap = bounds_whole_scans(asked->within.judged, sym->step);
    flat_expr grows = term_less(b, faulty, any_new(sym, asked));
    flat_expr age = flat_ite(b, grows,
                             term_grown(b, kept.before, sym->elapsed, cap),
                             flat_const(b, 0));
    sym_keep(sym, kept, age);
    return age;
}

struct excuse notice_excuse(struct sym *sym, uint32_t requirement)
{
    struct flat_builder *b = sym->builder;
    const struct requirement *asked = &sym->model->requirements[requirement];
    struct excuse excuse = {term_false(b), term_false(b)};
    if (asked->noticed) {
        flat_expr shown = unfold_expr(sym, asked->noticed);
        excuse.faulty = any_fault(sym, asked);
        excuse.tolerated = term_less(b, excuse.faulty, shown);
    } else if (asked->within.wanted) {
        excuse.faulty = any_fault(sym, asked);
        excuse.tolerated = term_less(
            b, excuse.faulty,
            term_reached(b, since(sym, requirement, excuse.faulty),
                         asked->within.judged));
    }
    return excuse;
}

/* ---- the section ---- */

/* Once lit and true, it stays until the dark. */
static flat_expr latched(struct sym *sym, flat_expr before, flat_expr now)
{
    struct flat_builder *b = sym->builder;
    return term_less(b, term_or(b, before,
                                term_and(b, sym->studied_before, now)),
                     sym->dark);
}

static flat_expr counted(struct sym *sym, flat_expr before, flat_expr cycle)
{
    struct flat_builder *b = sym->builder;
    flat_expr more = term_and(b, sym->studied_before, cycle);
    flat_expr one = flat_const(b, 1);
    flat_expr next = flat_ite(
        b, more, term_at_most(b, flat_binary(b, FLAT_ADD, before, one), 2),
        before);
    return flat_ite(b, sym->dark, flat_const(b, 0), next);
}

static flat_expr put_right(struct sym *sym, flat_expr repair)
{
    struct flat_builder *b = sym->builder;
    flat_expr now = term_and(b, repair, sym->notice[NOTICE_SHOWN].before);
    now = term_less(b, term_and(b, now, sym->studied_before), sym->dark);
    return term_or(b, sym->notice[NOTICE_REPAIRED].before, now);
}

void notice_run(struct sym *sym)
{
    struct flat_builder *b = sym->builder;
    const struct noticing *said = &sym->model->noticing;
    flat_expr shown, demand, cycle, repaired, unseen;
    if (!said->demand)
        return;
    shown = unfold_expr(sym, said->diagnostic);
    demand = unfold_expr(sym, said->demand);
    cycle = unfold_expr(sym, said->cycle);
    repaired = put_right(sym, unfold_expr(sym, said->repair));
    demand = latched(sym, sym->notice[NOTICE_DEMANDED].before, demand);
    cycle = counted(sym, sym->notice[NOTICE_CYCLES].before, cycle);
    sym_keep(sym, sym->notice[NOTICE_DEMANDED], demand);
    sym_keep(sym, sym->notice[NOTICE_CYCLES], cycle);
    sym_keep(sym, sym->notice[NOTICE_REPAIRED], repaired);
    sym_keep(sym, sym->notice[NOTICE_SHOWN], shown);
    unseen = flat_not(b, term_or(b, shown, repaired));
    cycle = term_equals(b, cycle, 2);
    sym->noticed[NOTICE_PASSED] = term_and(b, demand, unseen);
    sym->noticed[NOTICE_ROUND] = term_and(b, cycle, unseen);
    sym->noticed[NOTICE_SEEN] = term_less(
        b, term_and(b, sym->studied_before, shown), sym->dark);
    sym->noticed[NOTICE_DEMAND] = demand;
    sym->noticed[NOTICE_CYCLE] = cycle;
}
