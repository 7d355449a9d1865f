#include "study/account.h"

#include "base/ensure.h"
#include "study/untaken.h"

/* ---- branches ---- */

static void decide_guard(const struct trace *trace,
                         const struct trace_guard *guard, uint32_t from,
                         uint32_t to, struct account *account)
{
    for (uint32_t i = from; i <= to && i < guard->n_conditions; i++) {
        const struct trace_node *node = guard->condition[i];

        if (node == NULL || node->expr == NULL)
            continue;
        cause_place(account, node->expr->span);
        cause_decide(trace, node, account);
    }
}

static void decide_path(const struct trace *trace,
                        const struct trace_guard *guard,
                        struct account *account)
{
    account->pass = cause_pass(guard);
    for (; guard != NULL; guard = cause_outer(guard)) {
        uint32_t last = guard->n_conditions == 0 ? 0
                                                 : guard->n_conditions - 1;

        decide_guard(trace, guard, last, last, account);
        if (last > 0)
            decide_guard(trace, guard, 0, last - 1, account);
    }
}

/* The branches of one statement that would have given it another value.  Those
 * before the one that ran were not run because each condition was FALSE;
 * all behind it, because it ran; in a CASE, because of the selector. */
static void decide_branches(const struct trace *trace, const struct fact *fact,
                            const struct trace_guard *guard,
                            struct account *account)
{
    uint32_t branch = untaken_branch(guard, 0, fact->index, fact->value);

    if (untaken_left(guard, fact->index, fact->value))
        decide_guard(trace, guard, 0, guard->n_conditions, account);
    if (branch != UNTAKEN_NONE && guard->stmt->kind >= CODE_FOR) {
        decide_guard(trace, guard, 0, guard->n_conditions, account);
        return;
    }
    if (branch != UNTAKEN_NONE && guard->stmt->kind == CODE_CASE) {
        decide_guard(trace, guard, 0, 0, account);
        return;
    }
    while (branch < guard->taken) {
        decide_guard(trace, guard, branch, branch, account);
        branch = untaken_branch(guard, branch + 1, fact->index, fact->value);
    }
    if (branch != UNTAKEN_NONE)
        decide_guard(trace, guard, guard->taken, guard->taken, account);
}

/* Statements behind `above` that would have given the thing another value,
 * and were not run. */
static void decide_untaken(const struct trace *trace, const struct fact *fact,
                           uint64_t above, struct account *account)
{
    const struct trace_scan *scan = trace_at(trace, fact->scan);

    for (uint32_t i = 0; i < scan->n_guards; i++) {
        const struct trace_guard *guard = scan->guards[i];

        if (fact->thing == THING_SLOT && guard->serial >= above &&
            guard->serial < fact->below)
            decide_branches(trace, fact, guard, account);
    }
}

/* ---- standard blocks ---- */

struct block_call {
    const struct trace *trace;
    const struct trace_event *event; /* of the output */
    struct account *account;
};

static int64_t part(const struct block_call *call, uint32_t offset)
{
    return trace_value(call->trace, THING_SLOT, call->event->frame + offset,
                       call->event->serial);
}

/* What the controller does, of blocks of the control text. */
static bool chosen(const struct block_call *call, enum setting_kind kind)
{
    const struct model *model = call->trace->model;
    const struct setting *setting = &model->settings[kind];
    enum slot_home home = model->slots[call->event->frame].home;

    if (home != SLOT_PROGRAM && home != SLOT_GLOBAL)
        return false;
    return setting->any ? call->trace->start[THING_SLOT][setting->slot] != 0
                        : setting->value != 0;
}

/* The PT that counts. */
static int64_t preset(const struct block_call *call)
{
    return part(call, chosen(call, SETTING_PRESETS) ? TIMER_HELD : TIMER_PT);
}

/* What decided an input of the block at the call. */
static void input(const struct block_call *call, uint32_t offset)
{
    const struct trace_event *event =
        trace_last(call->trace, THING_SLOT, call->event->frame + offset,
                   call->event->serial);

    if (event == NULL)
        return;
    if (event->node == NULL) {
        cause_add(call->trace, call->account,
                 cause_fact(call->trace, THING_SLOT, event->index,
                            call->event->serial, call->event->scan));
        return;
    }
    cause_place(call->account, event->span);
    cause_decide(call->trace, event->node, call->account);
}

/* Since when it runs, after this call. */
static uint32_t runs_since(const struct block_call *call)
{
    return trace_since(call->trace, THING_SLOT,
                       call->event->frame + TIMER_RUNNING,
                       call->event->serial + TIMER_SIZE);
}

static void time_rule(const struct block_call *call, enum account_rule rule)
{
    call->account->start = runs_since(call);
    if (rule != RULE_TAIL_OVER || call->account->start > 0)
        call->account->rule = rule; /* else IN was never on */
    call->account->time = preset(call);
    input(call, TIMER_IN);
    if (!chosen(call, SETTING_PRESETS))
        input(call, TIMER_PT);
}

static void account_timer(const struct block_call *call, bool delay)
{
    bool in = part(call, TIMER_IN) != 0, out = call->event->value != 0;

    if (in == delay && out == delay)
        time_rule(call, delay ? RULE_TIME_OVER : RULE_TAIL_OVER);
    else if (in == delay)
        time_rule(call, delay ? RULE_TIME_RUNS : RULE_TAIL_RUNS);
    else
        input(call, TIMER_IN);
}

/* What decided the input when the pulse began. */
static void pulse_began(const struct block_call *call)
{
    uint32_t since = trace_since(call->trace, THING_SLOT,
                                 call->event->frame + TIMER_Q,
                                 call->event->serial + 1);
    const struct trace_event *event = call->event;
    struct block_call began = *call;

    while (event->last != NULL && event->last->scan >= since && since > 0)
        event = event->last;
    began.event = event;
    call->account->rule = RULE_PULSE_RUNS;
    call->account->start = runs_since(call);
    call->account->time = preset(call);
    input(&began, TIMER_IN);
}

static void account_pulse(const struct block_call *call)
{
    if (call->event->value != 0)
        pulse_began(call);
    else if (part(call, TIMER_IN) != 0)
        time_rule(call, RULE_PULSE_OVER);
    else
        input(call, TIMER_IN);
}

static void account_edge(const struct block_call *call, bool rising)
{
    bool clk = part(call, EDGE_CLK) != 0;

    input(call, EDGE_CLK);
    if (call->event->value != 0)
        call->account->rule =
            call->event->last != NULL &&
                    call->event->last->kind == TRACE_BLOCK
                ? RULE_EDGE : RULE_FIRST_CALL;
    else if (clk == rising)
        call->account->rule = RULE_NO_EDGE;
}

/* The moment in which a latch took the value that it keeps. */
static void kept_since(const struct block_call *call)
{
    uint32_t index = call->event->index;
    uint32_t since = trace_since(call->trace, THING_SLOT, index,
                                 call->event->serial + 1);

    if (since > 0 && since < call->event->scan)
        cause_add(call->trace, call->account,
                  cause_fact(call->trace, THING_SLOT, index,
                             trace_at(call->trace, since)->end, since));
}

static void account_latch(const struct block_call *call, bool set_first)
{
    bool set = part(call, LATCH_S) != 0, reset = part(call, LATCH_R) != 0;
    bool on = call->event->value != 0;

    if (on && set) {
        input(call, LATCH_S);
    } else if (!on && reset) {
        input(call, LATCH_R);
        if (set_first)
            input(call, LATCH_S);
        return;
    } else {
        call->account->rule = RULE_KEPT;
        input(call, on ? LATCH_R : LATCH_S);
        kept_since(call);
    }
    if (on && !set_first)
        input(call, LATCH_R);
}

/* The count as it stands at the end of this call. */
static void count(const struct block_call *call)
{
    cause_add(call->trace, call->account,
              cause_fact(call->trace, THING_SLOT,
                         call->event->frame + COUNTER_CV,
                         call->event->serial, call->event->scan));
}

/* An output goes by the count and PV, the count by what counts, sets back or
 * loads; where none of it does, it is as it was. */
static void account_counter(const struct block_call *call)
{
    uint32_t offset = call->event->index - call->event->frame;
    const struct trace_event *last = call->event->last;

    if (offset == COUNTER_QU || offset == COUNTER_QD) {
        count(call);
        if (offset == COUNTER_QU)
            input(call, COUNTER_PV);
        return;
    }
    if (part(call, COUNTER_R) != 0) {
        input(call, COUNTER_R);
        return;
    }
    input(call, COUNTER_R);
    if (part(call, COUNTER_LD) != 0) {
        input(call, COUNTER_LD);
        input(call, COUNTER_PV);
        return;
    }
    input(call, COUNTER_LD);
    input(call, COUNTER_CU);
    input(call, COUNTER_CD);
    if (last != NULL && last->value == call->event->value)
        call->account->rule = RULE_KEPT;
    kept_since(call);
}

static void account_block(const struct block_call *call)
{
    call->account->kind = ACCOUNT_BLOCK;
    cause_place(call->account, call->event->span);
    switch (call->event->pou->standard) {
    case STANDARD_TON: account_timer(call, true); break;
    case STANDARD_TOF: account_timer(call, false); break;
    case STANDARD_TP: account_pulse(call); break;
    case STANDARD_R_TRIG: account_edge(call, true); break;
    case STANDARD_F_TRIG: account_edge(call, false); break;
    case STANDARD_CTU:
    case STANDARD_CTD:
    case STANDARD_CTUD: account_counter(call); break;
    default:
        account_latch(call, (call->event->pou->standard == STANDARD_SR) !=
                                chosen(call, SETTING_LATCHES));
        break;
    }
    decide_path(call->trace, call->event->guard, call->account);
}

/* ---- statements, movements, what comes from outside ---- */

static void account_assigned(const struct trace *trace,
                             const struct trace_event *event,
                             struct account *account)
{
    account->kind = ACCOUNT_SET;
    cause_place(account, event->span);
    if (event->node != NULL)
        cause_decide(trace, event->node, account);
    else
        cause_add(trace, account,
                  cause_fact(trace, THING_SLOT, event->from, event->serial,
                             event->scan));
    for (uint32_t i = 0; i < event->n_indices; i++)
        cause_decide(trace, event->indices[i], account);
    decide_path(trace, event->guard, account);
}

/* CASE x OF says no more than that x is what it is. */
static void drop_itself(struct account *account, const struct fact *fact)
{
    uint32_t kept = 0;

    for (uint32_t i = 0; i < account->n; i++)
        if (account->at[i].thing != fact->thing ||
            account->at[i].index != fact->index)
            account->at[kept++] = account->at[i];
    account->n = kept;
}

/* A control variable stands where the loop began and how far it went, not
 * where it stood one pass before. */
static void account_count(const struct trace *trace,
                          const struct trace_event *event,
                          struct account *account)
{
    const struct trace_event *start = event;
    const struct fact own = {.thing = THING_SLOT, .index = event->index};

    account->kind = ACCOUNT_SET;
    cause_place(account, event->span);
    while (start->kind == TRACE_COUNT && start->last != NULL)
        start = start->last;
    if (start->node != NULL)
        cause_decide(trace, start->node, account);
    decide_path(trace, event->guard, account);
    drop_itself(account, &own);
}

static void account_command(const struct trace *trace,
                            const struct trace_event *event,
                            struct account *account)
{
    account->kind = ACCOUNT_SET;
    if (event->from != MODEL_NONE)
        cause_add(trace, account,
                  cause_fact(trace, THING_SLOT, event->from, event->serial,
                             event->scan));
}

static void account_slot(const struct trace *trace,
                         const struct trace_event *event,
                         struct account *account);

/* Does the fault make of it what it was before? */
static bool holds_before(const struct trace *trace, uint32_t fault)
{
    enum fault_kind kind = trace->model->faults[fault].kind;

    return kind == FAULT_STAYS || kind == FAULT_DOES_NOT_OPEN ||
           kind == FAULT_DOES_NOT_CLOSE;
}

/* A fault that changes nothing of what was asked is no cause. */
static void account_forced(const struct trace *trace,
                           const struct trace_event *event,
                           struct account *account)
{
    uint64_t begin = trace_at(trace, event->scan)->begin;
    const struct trace_event *asked = event->last;

    if (asked != NULL && asked->scan == event->scan &&
        asked->value == event->value) {
        account_slot(trace, asked, account);
        return;
    }
    account->kind = ACCOUNT_FORCED;
    cause_add(trace, account,
              cause_fact(trace, THING_FAULT, event->fault, event->serial,
                         event->scan));
    if (holds_before(trace, event->fault) &&
        trace_last(trace, THING_SLOT, event->index, begin) != NULL)
        cause_add(trace, account,
                  cause_fact(trace, THING_SLOT, event->index, begin,
                             event->scan - 1));
}

static void account_restart(const struct trace *trace,
                            const struct trace_event *event,
                            struct account *account)
{
    account->kind = ACCOUNT_RESTART;
    cause_place(account, event->span);
    cause_add(trace, account,
              cause_fact(trace, THING_POWER, 0, event->serial, event->scan));
}

static void account_slot(const struct trace *trace,
                         const struct trace_event *event,
                         struct account *account)
{
    const struct block_call call = {trace, event, account};

    switch (event->kind) {
    case TRACE_ASSIGN: account_assigned(trace, event, account); break;
    case TRACE_COUNT: account_count(trace, event, account); break;
    case TRACE_INITIAL:
        account->kind = ACCOUNT_INITIAL;
        cause_place(account, event->span);
        break;
    case TRACE_RESTART: account_restart(trace, event, account); break;
    case TRACE_SAMPLE: account->kind = ACCOUNT_OPERATOR; break;
    case TRACE_BLOCK: account_block(&call); break;
    case TRACE_COMMAND: account_command(trace, event, account); break;
    case TRACE_FORCED: account_forced(trace, event, account); break;
    case TRACE_MOVE:
        account->kind = ACCOUNT_MOVED;
        cause_place(account, event->span);
        cause_decide(trace, event->node, account);
        break;
    default: ENSURE(!"a variable does not stand outside"); break;
    }
}

/* A short acts on either end. */
static bool effect_acts(const struct model *model,
                        const struct effect *effect, uint32_t line)
{
    uint32_t n = model->n_contacts;

    if (effect->target == AT_CONTACTS && line >= effect->first &&
        line - effect->first < effect->count)
        return true;
    if (effect->target == AT_SENSOR && line == n + effect->first)
        return true;
    return effect->kind == FAULT_SHORT_TO &&
           line == effect->other +
                       (effect->other_target == AT_SENSOR ? n : 0);
}

/* What the line conducts that a short joins to this one. */
static void add_other_end(const struct trace *trace,
                          const struct effect *effect,
                          const struct trace_event *event,
                          struct account *account)
{
    uint32_t n = trace->model->n_contacts;
    uint32_t one = effect->first + (effect->target == AT_SENSOR ? n : 0);
    uint32_t other = effect->other +
                     (effect->other_target == AT_SENSOR ? n : 0);
    uint32_t line = event->index == other ? one : other;
    uint64_t end = trace_at(trace, event->scan)->end;

    if (trace_last(trace, THING_LINE, line, end) != NULL)
        cause_add(trace, account,
                  cause_fact(trace, THING_LINE, line, end, event->scan));
}

/* A fault that is present, and what it acts through. */
static void add_effect(const struct trace *trace,
                       const struct effect *effect,
                       const struct trace_event *event,
                       struct account *account)
{
    struct fact fault = cause_fact(trace, THING_FAULT, effect->fault,
                                   event->serial, event->scan);

    if (fault.value == 0 || !effect_acts(trace->model, effect, event->index))
        return;
    cause_add(trace, account, fault);
    if (effect->kind == FAULT_SHORT_TO)
        add_other_end(trace, effect, event, account);
    if (effect->kind == FAULT_DISPLACED)
        cause_add(trace, account,
                  cause_fact(trace, THING_SLOT, effect->along, event->serial,
                             event->scan));
}

/* A line that conducts what it should is looked through, unless it is a
 * sensor's: then its ON WHEN says why. */
static void account_line(const struct trace *trace,
                         const struct trace_event *event,
                         struct account *account)
{
    uint32_t n = trace->model->n_contacts;

    if (event->index >= n && event->node != NULL &&
        event->node->value == event->value) {
        account->kind = ACCOUNT_SET;
        cause_place(account, trace->model->sensors[event->index - n].span);
        cause_decide(trace, event->node, account);
        return;
    }
    account->kind = ACCOUNT_LINE;
    for (uint32_t i = 0; i < trace->model->n_effects; i++)
        add_effect(trace, &trace->model->effects[i], event, account);
}

static void account_outside(struct account *account, enum trace_thing thing)
{
    account->kind = thing == THING_HAND ? ACCOUNT_OPERATOR
                    : thing == THING_FAULT ? ACCOUNT_FAULT
                    : thing == THING_OPEN  ? ACCOUNT_OPEN : ACCOUNT_POWER;
}

static void sort(struct account *account, uint32_t n)
{
    for (uint32_t i = 1; i < n; i++) {
        struct fact fact = account->at[i];
        uint32_t k = i;

        for (; k > 0 && account->at[k - 1].since < fact.since; k--)
            account->at[k] = account->at[k - 1];
        account->at[k] = fact;
    }
}

/* "It became so, because it became so": what a statement after it read, from
 * number `first` on. */
static void drop_own(struct account *account, const struct fact *fact,
                     uint32_t first)
{
    uint32_t kept = first;

    for (uint32_t i = first; i < account->n; i++)
        if (account->at[i].thing != fact->thing ||
            account->at[i].index != fact->index ||
            account->at[i].value != fact->value ||
            account->at[i].since < fact->since)
            account->at[kept++] = account->at[i];
    account->n = kept;
}

static uint32_t counter_of(const struct trace_guard *guard)
{
    struct code_variable counter = guard->stmt->target;

    if (guard->stmt->kind != CODE_FOR || counter.base == CODE_IN_OUT)
        return MODEL_NONE;
    return counter.base == CODE_LOCAL ? guard->base + counter.index
                                      : counter.index;
}

/* Where the loops around it stood is told by the pass. */
static void drop_counters(const struct trace_event *event,
                          struct account *account)
{
    const struct trace_guard *guard = event->guard;

    for (; account->pass > 0 && guard != NULL; guard = cause_outer(guard)) {
        struct fact counter = {.thing = THING_SLOT,
                               .index = counter_of(guard)};

        if (counter.index != MODEL_NONE)
            drop_itself(account, &counter);
    }
}

/* Its program was stopped.  What belongs to no program may be written by any
 * of them. */
static void decide_stopped(const struct trace *trace, const struct fact *fact,
                           struct account *account)
{
    const struct model *model = trace->model;

    for (uint32_t i = 0; i < model->n_effects; i++) {
        const struct effect *effect = &model->effects[i];
        const struct program *program;
        struct fact fault;

        if (effect->kind != FAULT_STOPS)
            continue;
        program = &model->programs[effect->first];
        fault = cause_fact(trace, THING_FAULT, effect->fault, fact->below,
                           fact->scan);
        if (fault.value != 0 &&
            (model->slots[fact->index].home == SLOT_GLOBAL ||
             (fact->index >= program->frame &&
              fact->index - program->frame < program->pou->size)))
            cause_add(trace, account, fault);
    }
}

/* Nothing touched it in this scan. */
static bool account_stayed(const struct trace *trace, const struct fact *fact,
                           struct account *account)
{
    const struct trace_event *event =
        trace_last(trace, fact->thing, fact->index, fact->below);
    uint64_t begin = trace_at(trace, fact->scan)->begin;
    uint32_t since = fact->since;
    struct fact origin;

    if (trace->model->slots[fact->index].home == SLOT_MACHINE)
        return false; /* it stays where nothing moves it */
    decide_untaken(trace, fact, begin, account);
    drop_itself(account, fact);
    if (account->n == 0)
        decide_stopped(trace, fact, account);
    if (account->n == 0)
        return false;
    account->kind = ACCOUNT_STAYED;
    if (event == NULL || event->kind == TRACE_INITIAL)
        cause_place(account, trace->model->slots[fact->index].span);
    if (event != NULL) {
        origin = since > 0
                     ? cause_fact(trace, fact->thing, fact->index,
                                  trace_at(trace, since)->end, since)
                     : cause_fact(trace, fact->thing, fact->index,
                                  event->serial + 1, event->scan);
        if (account->n == CAUSES_MOST)
            account->n--;
        account->at[account->n++] = origin;
    }
    return true;
}

void account_fact(const struct trace *trace, const struct fact *fact,
                  struct account *account)
{
    const struct trace_event *event =
        trace_last(trace, fact->thing, fact->index, fact->below);
    uint32_t set;

    *account = (struct account){.kind = ACCOUNT_INITIAL};
    if (fact->thing == THING_SLOT &&
        (event == NULL || event->scan < fact->scan) &&
        account_stayed(trace, fact, account))
        return;
    if (event == NULL) {
        if (fact->thing == THING_SLOT)
            cause_place(account, trace->model->slots[fact->index].span);
        else
            account_outside(account, fact->thing);
        return;
    }
    if (fact->thing == THING_LINE) {
        account_line(trace, event, account);
    } else if (fact->thing != THING_SLOT) {
        account_outside(account, fact->thing);
    } else {
        account_slot(trace, event, account);
        set = account->n;
        if (event->scan == fact->scan)
            decide_untaken(trace, fact, event->serial, account);
        drop_own(account, fact, set);
        drop_counters(event, account);
    }
    sort(account, account->n);
}
