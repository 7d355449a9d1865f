/* The forms of docs/notes/step.md, section 5, line by line. */
#include "lower/judging.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "lower/notice.h"
#include "lower/unfold.h"
#include "lower/term.h"

/* A requirement at a judging: its expressions and its memory. */
struct judged {
    struct sym *sym;
    struct flat_builder *b;
    const struct requirement *asked;
    flat_expr a, previous, b_value, c, started, cancelled;
    struct kept flag, age;
    flat_expr breach, occurs; /* occurs: the form's own trigger */
    struct excuse excuse;
};

static flat_expr any_of(struct sym *sym,
                        const struct code_expr *const *exprs, uint32_t n)
{
    flat_expr any = term_false(sym->builder);
    for (uint32_t i = 0; i < n; i++)
        any = term_or(sym->builder, any, unfold_expr(sym, exprs[i]));
    return any;
}

static void keep_flag(struct judged *j, flat_expr next)
{
    sym_keep(j->sym, j->flag, next);
}

static flat_expr grown(struct judged *j)
{
    int64_t cap = bounds_whole_scans(j->asked->limit.judged, j->sym->step);
    return term_grown(j->b, j->age.before, j->sym->elapsed, cap);
}

static flat_expr overdue(struct judged *j, flat_expr age)
{
    return term_reached(j->b, age, j->asked->limit.judged);
}

static void judge_after(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr open = term_or(b, j->flag.before, j->a);
    j->breach = term_and(b, open, j->b_value);
    keep_flag(j, term_or(b, j->a, term_less(b, j->flag.before, j->c)));
}

static void judge_within(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr zero = flat_const(b, 0);
    flat_expr age = flat_ite(b, j->flag.before, grown(j), zero);
    flat_expr done = term_or(b, j->b_value, j->c);
    flat_expr open = term_less(b, term_or(b, j->flag.before, j->a), done);
    age = flat_ite(b, open, age, zero);
    j->breach = term_and(b, open, overdue(j, age));
    keep_flag(j, open);
    sym_keep(j->sym, j->age, age);
}

static void judge_no_longer(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr lasts = term_and(b, j->a, j->flag.before);
    flat_expr age = flat_ite(b, lasts, grown(j), flat_const(b, 0));
    j->breach = term_and(b, j->a, overdue(j, age));
    keep_flag(j, j->a);
    sym_keep(j->sym, j->age, age);
}

static void judge_at_least(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr zero = flat_const(b, 0);
    flat_expr lasted = flat_ite(b, j->flag.before, grown(j), zero);
    flat_expr falls = term_less(b, j->flag.before, j->a);
    j->breach = term_less(b, falls, overdue(j, lasted));
    j->occurs = falls;
    keep_flag(j, j->a);
    sym_keep(j->sym, j->age, flat_ite(b, j->a, lasted, zero));
}

static void judge_moves(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr same = flat_binary(b, FLAT_EQ, j->a, j->previous);
    flat_expr only = j->asked->c ? j->c : j->b_value;
    j->occurs = flat_not(b, same);
    j->breach = term_less(b, j->occurs, j->flag.before);
    keep_flag(j, only);
}

static void judge_by_itself(struct judged *j)
{
    struct flat_builder *b = j->b;
    flat_expr disarms = term_or(b, j->sym->dark, j->cancelled);
    flat_expr armed = term_less(
        b, term_or(b, j->started, j->flag.before), disarms);
    flat_expr falls = term_less(b, j->previous, j->a);
    j->occurs = term_less(b, j->a, j->previous);
    j->breach = term_less(b, j->occurs, armed);
    keep_flag(j, term_less(b, armed, term_less(b, falls, j->b_value)));
}

/* Both questions only where WHILE holds: is it there, is it asked for? */
static void judge_again(struct judged *j)
{
    flat_expr along = j->asked->b ? j->b_value : flat_const(j->b, 1);
    j->breach = term_and(j->b, along, j->c);
    j->occurs = term_less(j->b, along, j->c);
}

static void judge_form(struct judged *j)
{
    struct flat_builder *b = j->b;
    switch (j->asked->form) {
    case FORM_NEVER: j->breach = j->a; return;
    case FORM_ALWAYS: j->breach = flat_not(b, j->a); return;
    case FORM_ONLY_IF: j->breach = term_less(b, j->a, j->b_value); return;
    case FORM_AFTER_NO_UNTIL: judge_after(j); return;
    case FORM_WHEN_THEN_WITHIN: judge_within(j); return;
    case FORM_NO_LONGER: judge_no_longer(j); return;
    case FORM_AT_LEAST: judge_at_least(j); return;
    case FORM_MOVES_ONLY_WHILE: judge_moves(j); return;
    case FORM_BY_ITSELF: judge_by_itself(j); return;
    case FORM_POSSIBLE:
        j->breach = j->asked->a ? j->a : j->c;
        return;
    case FORM_POSSIBLE_AGAIN: judge_again(j); return;
    }
    ENSURE(!"a form");
}

/* Triggers repeat parts of the requirement: their errors are those. */
static flat_expr *judge_triggers(struct judged *j)
{
    struct sym *sym = j->sym;
    uint32_t n = j->asked->n_triggers;
    flat_expr *triggers = arena_array(sym->arena, n, sizeof *triggers);
    sym->silent = true;
    for (uint32_t i = 0; i < n; i++) {
        const struct trigger *trigger = &j->asked->triggers[i];
        if (trigger->untolerated)
            triggers[i] = term_less(j->b, j->excuse.faulty,
                                    j->excuse.tolerated);
        else if (trigger->condition)
            triggers[i] = unfold_expr(sym, trigger->condition);
        else
            triggers[i] = j->occurs;
    }
    sym->silent = false;
    return triggers;
}

static void judge_one(struct sym *sym, uint32_t i, flat_expr **trigger)
{
    const struct requirement *asked = &sym->model->requirements[i];
    struct judged j = {.sym = sym, .b = sym->builder, .asked = asked,
                       .flag = sym->flag[i], .age = sym->age[i]};
    j.a = unfold_expr(sym, asked->a);
    j.previous = unfold_expr(sym, asked->a_previous);
    j.b_value = unfold_expr(sym, asked->b);
    j.c = unfold_expr(sym, asked->c);
    j.started = any_of(sym, asked->started_by, asked->n_started_by);
    j.cancelled = any_of(sym, asked->cancelled_by, asked->n_cancelled_by);
    j.excuse = notice_excuse(sym, i);
    j.breach = FLAT_NONE;
    j.occurs = j.a;
    judge_form(&j);
    sym->breach[i] = term_less(sym->builder, j.breach, j.excuse.tolerated);
    *trigger = judge_triggers(&j);
}

void judging_run(struct sym *sym)
{
    uint32_t n = sym->model->n_requirements;
    flat_expr **trigger = arena_array(sym->arena, n, sizeof *trigger);
    for (uint32_t i = 0; i < n; i++)
        judge_one(sym, i, &trigger[i]);
    sym->trigger = trigger;
    notice_run(sym);
}
