/* The blocks of docs/notes/step.md, section 4, line by line. */
#include "lower/builtin.h"

#include "base/ensure.h"
#include "lower/setting.h"
#include "lower/term.h"

/* A timer in the course of its call. */
struct timer {
    struct sym *sym;
    struct flat_builder *b;
    uint32_t frame;
    flat_expr in, pt;
    flat_expr starts; /* in this call */
};

static flat_expr get(const struct timer *t, uint32_t offset)
{
    return env_get(&t->sym->env, t->frame + offset);
}

static void set_if(struct timer *t, flat_expr condition, uint32_t offset,
                   flat_expr value)
{
    env_set_if(&t->sym->env, condition, t->frame + offset, value);
}

static void put_if(struct timer *t, flat_expr condition, uint32_t offset,
                   int64_t value)
{
    set_if(t, condition, offset, flat_const(t->b, value));
}

static flat_expr may(const struct timer *t, enum setting_kind kind)
{
    return setting_of(t->sym, t->frame, kind, 1);
}

/* PT as it counts, and the greatest it can be. */
static void read_pt(struct timer *t, struct span span)
{
    t->pt = term_at_least(t->b, get(t, TIMER_PT), 0);
    int64_t most = flat_node(t->b, t->pt)->high;
    struct preset *preset = &t->sym->preset[t->frame + TIMER_AGE];
    if (most > preset->most)
        *preset = (struct preset){most, span};
}

/* Starts it now: from here on PT may be the one of the start. */
static void take_pt(struct timer *t, flat_expr starts)
{
    flat_expr latched = may(t, SETTING_PRESETS);

    t->starts = starts;
    if (term_is(t->b, latched, 0))
        return;
    set_if(t, term_and(t->b, latched, starts), TIMER_HELD, t->pt);
    t->pt = flat_ite(t->b, latched, get(t, TIMER_HELD), t->pt);
}

static flat_expr reached(const struct timer *t)
{
    flat_expr over = flat_binary(t->b, FLAT_LE, t->pt, get(t, TIMER_AGE));

    return term_less(t->b, over, term_and(t->b, t->starts,
                                          may(t, SETTING_ZERO_TIMES)));
}

static flat_expr elapsed_is(const struct timer *t, uint32_t choice)
{
    return setting_of(t->sym, t->frame, SETTING_ELAPSED, choice);
}

/* ET, while it follows the age. */
static flat_expr shown(const struct timer *t)
{
    flat_expr age = get(t, TIMER_AGE);

    return flat_ite(t->b, elapsed_is(t, ELAPSED_PRESET),
                    term_smaller(t->b, age, t->pt), age);
}

/* TON and TOF are over, and their age is to stop there. */
static void stop_if(struct timer *t, flat_expr over)
{
    set_if(t, over, TIMER_DONE, elapsed_is(t, ELAPSED_OVERSHOOT));
}

/* Does its time go on? */
static flat_expr grows(struct sym *sym, uint32_t frame)
{
    struct flat_builder *b = sym->builder;
    flat_expr running = env_get(&sym->env, frame + TIMER_RUNNING);
    flat_expr done = env_get(&sym->env, frame + TIMER_DONE);
    flat_expr stops = setting_of(sym, frame, SETTING_ELAPSED,
                                 ELAPSED_OVERSHOOT);
    flat_expr endless = setting_of(sym, frame, SETTING_ELAPSED,
                                   ELAPSED_ENDLESS);

    return term_or(b, term_less(b, running, term_and(b, stops, done)),
                   term_and(b, endless, done));
}

static void start_if(struct timer *t, flat_expr condition)
{
    take_pt(t, condition);
    put_if(t, condition, TIMER_RUNNING, 1);
    put_if(t, condition, TIMER_AGE, 0);
}

static void rest_if(struct timer *t, flat_expr condition, int64_t q)
{
    put_if(t, condition, TIMER_Q, q);
    put_if(t, condition, TIMER_ET, 0);
    put_if(t, condition, TIMER_AGE, 0);
    put_if(t, condition, TIMER_RUNNING, 0);
    put_if(t, condition, TIMER_DONE, 0);
}

static void call_ton(struct timer *t)
{
    start_if(t, term_less(t->b, t->in, get(t, TIMER_RUNNING)));
    set_if(t, t->in, TIMER_Q, term_or(t->b, get(t, TIMER_Q), reached(t)));
    set_if(t, t->in, TIMER_ET, shown(t));
    stop_if(t, term_and(t->b, t->in, get(t, TIMER_Q)));
    rest_if(t, flat_not(t->b, t->in), 0);
}

static void call_tof(struct timer *t)
{
    flat_expr timing = term_less(t->b, get(t, TIMER_M), t->in);
    start_if(t, term_less(t->b, timing, get(t, TIMER_RUNNING)));
    set_if(t, timing, TIMER_ET, shown(t));
    flat_expr over = term_and(t->b, timing, reached(t));
    put_if(t, over, TIMER_Q, 0);
    stop_if(t, over);
    rest_if(t, t->in, 1);
    put_if(t, t->in, TIMER_M, 1);
}

static void call_tp(struct timer *t)
{
    flat_expr edge = term_less(t->b, t->in, get(t, TIMER_M));
    flat_expr busy = term_or(t->b, get(t, TIMER_RUNNING),
                             get(t, TIMER_DONE));
    flat_expr starts = term_less(t->b, edge, busy);
    start_if(t, starts);
    put_if(t, starts, TIMER_Q, 1);
    flat_expr running = get(t, TIMER_RUNNING);
    flat_expr beyond = term_and(t->b, get(t, TIMER_DONE),
                                elapsed_is(t, ELAPSED_ENDLESS));
    set_if(t, term_or(t->b, running, beyond), TIMER_ET, shown(t));
    flat_expr over = term_and(t->b, running, reached(t));
    put_if(t, over, TIMER_RUNNING, 0);
    put_if(t, over, TIMER_DONE, 1);
    put_if(t, over, TIMER_Q, 0);
    flat_expr ready = term_less(t->b, get(t, TIMER_DONE), t->in);
    put_if(t, ready, TIMER_DONE, 0);
    put_if(t, ready, TIMER_ET, 0);
    put_if(t, ready, TIMER_AGE, 0);
    env_set(&t->sym->env, t->frame + TIMER_M, t->in);
}

/* What an edge is looked for with, and kept in `memory`.  Where nothing is to
 * fire at the first call, M begins with TRUE: stored is M <> that. */
static flat_expr rises(struct sym *sym, flat_expr now, uint32_t memory,
                       flat_expr silent)
{
    struct flat_builder *b = sym->builder;
    flat_expr was = flat_binary(b, FLAT_XOR, env_get(&sym->env, memory),
                                silent);

    env_set(&sym->env, memory, flat_binary(b, FLAT_XOR, now, silent));
    return term_less(b, now, was);
}

static void call_edge(struct sym *sym, uint32_t frame, bool rising)
{
    struct flat_builder *b = sym->builder;
    flat_expr clk = env_get(&sym->env, frame + EDGE_CLK);
    flat_expr silent = setting_of(sym, frame, SETTING_EDGES, EDGES_SILENT);
    if (!rising)
        silent = term_or(b, silent, setting_of(sym, frame, SETTING_EDGES,
                                               EDGES_FALL_SILENT));
    env_set(&sym->env, frame + EDGE_Q,
            rises(sym, rising ? clk : flat_not(b, clk), frame + EDGE_M,
                  silent));
}

static void call_latch(struct sym *sym, uint32_t frame, bool set_wins)
{
    struct flat_builder *b = sym->builder;
    flat_expr set = env_get(&sym->env, frame + LATCH_S);
    flat_expr reset = env_get(&sym->env, frame + LATCH_R);
    flat_expr q = env_get(&sym->env, frame + LATCH_Q1);
    flat_expr swapped = setting_of(sym, frame, SETTING_LATCHES, 1);
    flat_expr sets = term_or(b, set, term_less(b, q, reset));
    flat_expr resets = term_less(b, term_or(b, set, q), reset);
    env_set(&sym->env, frame + LATCH_Q1,
            flat_ite(b, swapped, set_wins ? resets : sets,
                     set_wins ? sets : resets));
}

/* What rises at this call; remembered at every call. */
static flat_expr counted(struct sym *sym, uint32_t frame, uint32_t input,
                         uint32_t memory)
{
    return rises(sym, env_get(&sym->env, frame + input), frame + memory,
                 setting_of(sym, frame, SETTING_EDGES, EDGES_SILENT));
}

/* value + step, unless it is at the end of the type. */
static flat_expr stepped(struct flat_builder *b, flat_expr value, int64_t end,
                         int64_t step)
{
    flat_expr more = flat_binary(b, FLAT_ADD, value, flat_const(b, step));
    flat_expr at_end = flat_const(b, end);
    return flat_ite(b, flat_binary(b, FLAT_EQ, value, at_end), value,
                    step > 0 ? term_at_most(b, more, end)
                             : term_at_least(b, more, end));
}

static void call_counter(struct sym *sym, enum code_standard standard,
                         uint32_t frame)
{
    struct flat_builder *b = sym->builder;
    const struct type *type = sym->model->slots[frame + COUNTER_CV].type;
    flat_expr up = counted(sym, frame, COUNTER_CU, COUNTER_MU);
    flat_expr down = counted(sym, frame, COUNTER_CD, COUNTER_MD);
    flat_expr pv = env_get(&sym->env, frame + COUNTER_PV);
    flat_expr cv = env_get(&sym->env, frame + COUNTER_CV), next = cv;
    next = flat_ite(b, term_less(b, down, up),
                    stepped(b, cv, type->low, -1), next);
    flat_expr full = term_and(b, setting_of(sym, frame, SETTING_COUNTERS, 1),
                              flat_binary(b, FLAT_LE, pv, cv));
    next = flat_ite(b, term_less(b, term_less(b, up, down), full),
                    stepped(b, cv, type->high, 1), next);
    next = flat_ite(b, env_get(&sym->env, frame + COUNTER_LD), pv, next);
    next = flat_ite(b, env_get(&sym->env, frame + COUNTER_R),
                    flat_const(b, 0), next);
    env_set(&sym->env, frame + COUNTER_CV, next);
    if (standard != STANDARD_CTD)
        env_set(&sym->env, frame + COUNTER_QU,
                flat_binary(b, FLAT_LE, pv, next));
    if (standard != STANDARD_CTU)
        env_set(&sym->env, frame + COUNTER_QD,
                flat_binary(b, FLAT_LE, next, flat_const(b, 0)));
}

/* Where time goes on in calls only, each one adds the time of its scan. */
static void grow_by_call(struct timer *t)
{
    struct sym *sym = t->sym;
    flat_expr called = may(t, SETTING_TIMERS), time;
    uint32_t age = t->frame + TIMER_AGE;

    if (term_is(t->b, called, 0))
        return;
    time = flat_ite(t->b, sym->first, flat_const(t->b, sym->model->scan),
                    sym->elapsed);
    set_if(t, term_and(t->b, called, grows(sym, t->frame)), TIMER_AGE,
           term_grown(t->b, get(t, TIMER_AGE), time, sym->bounds[age].high));
}

/* F_TRIG: Q := NOT CLK AND NOT M; M := NOT CLK, so that CLK FALSE at the
 * first call is a fall, as the standard's text has it. */
void builtin_call(struct sym *sym, enum code_standard standard,
                   uint32_t frame, struct span span)
{
    struct timer t = {.sym = sym, .b = sym->builder, .frame = frame};
    switch (standard) {
    case STANDARD_TON:
    case STANDARD_TOF:
    case STANDARD_TP:
        t.in = get(&t, TIMER_IN);
        read_pt(&t, span);
        grow_by_call(&t);
        if (standard == STANDARD_TON)
            call_ton(&t);
        else if (standard == STANDARD_TOF)
            call_tof(&t);
        else
            call_tp(&t);
        return;
    case STANDARD_R_TRIG:
    case STANDARD_F_TRIG:
        call_edge(sym, frame, standard == STANDARD_R_TRIG);
        return;
    case STANDARD_SR:
    case STANDARD_RS:
        call_latch(sym, frame, standard == STANDARD_SR);
        return;
    case STANDARD_CTU:
    case STANDARD_CTD:
    case STANDARD_CTUD:
        call_counter(sym, standard, frame);
        return;
    case STANDARD_NONE:
        break;
    }
    ENSURE(!"a standard block");
}

void builtin_time_passes(struct sym *sym, bool control)
{
    struct flat_builder *b = sym->builder;
    const struct model *model = sym->model;
    for (uint32_t i = 0; i < model->n_slots; i++) {
        const struct slot *slot = &model->slots[i];
        if (!slot->clock || sym_is_control(slot) != control)
            continue;
        uint32_t frame = i - TIMER_AGE;
        flat_expr goes_on = term_less(b, grows(sym, frame), sym->first);
        goes_on = term_and(b, goes_on,
                           setting_of(sym, frame, SETTING_TIMERS, 0));
        env_set_if(&sym->env, goes_on, i,
                   term_grown(b, env_get(&sym->env, i), sym->elapsed,
                              sym->bounds[i].high));
    }
}
