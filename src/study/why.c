#include "study/why.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "check/model.h"
#include "reference/record.h"
#include "reference/replay.h"
#include "study/account.h"
#include "study/judged.h"

/* A fact that waits for its step; smaller costs first. */
struct candidate {
    struct fact fact;
    uint32_t cost, step, cause; /* whose cause it is */
    bool origin; /* of a thing that stayed as it was */
};

struct search {
    const struct trace *trace;
    struct why_step steps[WHY_MOST];
    uint32_t cost[WHY_MOST];
    uint32_t n;
    VEC(struct candidate) waiting;
    bool more;
};

static bool comes_from_outside(const struct account *account)
{
    return account->kind == ACCOUNT_OPERATOR ||
           account->kind == ACCOUNT_FAULT || account->kind == ACCOUNT_POWER;
}

/* ---- one step ---- */

/* Facts of an idle machine are left out where others say enough. */
static void drop_idle(const struct trace *trace, struct account *account)
{
    uint32_t kept = 0;

    for (uint32_t i = 0; i < account->n; i++)
        if (!cause_idle(trace, &account->at[i]))
            account->at[kept++] = account->at[i];
    if (kept > 0)
        account->n = kept;
}

static const struct actuator *actuator_of(const struct trace *trace,
                                          const struct fact *fact)
{
    for (uint32_t i = 0; i < trace->model->n_actuators; i++)
        if (fact->thing == THING_SLOT &&
            trace->model->actuators[i].slot == fact->index)
            return &trace->model->actuators[i];
    return NULL;
}

static uint32_t command_in(const struct account *account,
                           const struct actuator *actuator)
{
    uint32_t i = 0;

    while (i < account->n &&
           (actuator == NULL || account->at[i].thing != THING_SLOT ||
            account->at[i].index != actuator->command))
        i++;
    return i;
}

/* An actuator that does what it is told: why it is told so is the answer. */
static void look_through_command(const struct trace *trace,
                                 const struct fact *fact,
                                 struct account *account)
{
    const struct actuator *actuator = actuator_of(trace, fact);
    struct account wiring = *account;
    uint32_t at = command_in(account, actuator);

    if (actuator == NULL || account->kind != ACCOUNT_SET ||
        at == account->n || account->at[at].value != fact->value)
        return;
    account_fact(trace, &wiring.at[at], account);
    drop_idle(trace, account);
    for (uint32_t i = 0; i < wiring.n; i++)
        if (i != at)
            cause_add(trace, account, wiring.at[i]);
    for (uint32_t i = 0; i < wiring.n_places; i++)
        cause_place(account, wiring.places[i]);
}

static uint32_t happened(const struct why_step *step)
{
    if (step->account.kind == ACCOUNT_INITIAL ||
        comes_from_outside(&step->account))
        return step->fact.since;
    return step->fact.scan;
}

static bool keeps(const struct account *account)
{
    return account->kind == ACCOUNT_STAYED || account->rule == RULE_KEPT;
}

static bool is_origin(const struct why_step *step, uint32_t cause)
{
    const struct account *account = &step->account;

    return keeps(account) &&
           account->at[cause].thing == step->fact.thing &&
           account->at[cause].index == step->fact.index;
}

/* Where nothing that changed kept it from changing, the moment that counts
 * is the one in which it was set. */
static void go_to_origin(const struct trace *trace, struct why_step *step)
{
    struct account passed = step->account;
    const struct trace_event *event;

    if (step->account.kind == ACCOUNT_STAYED && step->account.n == 1 &&
        is_origin(step, 0)) {
        step->fact = passed.at[0];
        account_fact(trace, &step->fact, &step->account);
        drop_idle(trace, &step->account);
        for (uint32_t i = 0; i < passed.n_places; i++)
            cause_place(&step->account, passed.places[i]);
    }
    event = trace_last(trace, step->fact.thing, step->fact.index,
                       step->fact.below);
    if (step->account.kind == ACCOUNT_STAYED || event == NULL ||
        event->scan >= step->fact.scan)
        return;
    step->fact.scan = event->scan;
    step->fact.below = event->serial + 1;
}

/* Does the sensor conduct what it should not? */
static bool misleads(const struct trace *trace, const struct fact *fact)
{
    const struct trace_event *event =
        trace_last(trace, THING_LINE, fact->index, fact->below);

    return event != NULL && event->node != NULL &&
           event->node->value != event->value;
}

/* What says enough as it stands: an idle machine, how it stood when power
 * came, a sensor that has not changed since. */
static bool says_enough(const struct trace *trace, const struct fact *fact)
{
    if (fact->thing == THING_SLOT && fact->since == 0 &&
        trace->model->slots[fact->index].home == SLOT_MACHINE)
        return true;
    return cause_idle(trace, fact) ||
           (fact->thing == THING_LINE && fact->since <= 1 &&
            fact->index >= trace->model->n_contacts &&
            !misleads(trace, fact));
}

/* What comes from outside ends a road and is near at hand; so is what set a
 * thing that stayed.  What a timer or a latch remembers is seldom seen from
 * outside.  What never changed comes later. */
static uint32_t price(const struct trace *trace, const struct why_step *step,
                      uint32_t cause)
{
    const struct fact *fact = &step->account.at[cause];
    const struct trace_event *event =
        trace_last(trace, fact->thing, fact->index, fact->below);

    if (fact->thing == THING_HAND || fact->thing == THING_FAULT ||
        fact->thing == THING_OPEN ||
        is_origin(step, cause) || step->account.rule != RULE_NONE)
        return 1;
    if (event != NULL && event->kind == TRACE_BLOCK)
        return 2;
    return 1 + cause + (fact->since <= 1 && step->account.n > 2 ? 1 : 0);
}

static void wait_for_causes(struct search *search, uint32_t number)
{
    const struct why_step *step = &search->steps[number];

    for (uint32_t i = 0; i < step->account.n; i++) {
        struct candidate candidate = {
            .fact = step->account.at[i],
            .cost = search->cost[number] + price(search->trace, step, i),
            .step = number,
            .cause = i,
            .origin = is_origin(step, i),
        };

        if (!says_enough(search->trace, &candidate.fact))
            vec_push(&search->waiting, candidate);
    }
}

/* ---- the search ---- */

static bool same_value(const struct fact *a, const struct fact *b)
{
    return a->thing == b->thing && a->index == b->index &&
           a->value == b->value && a->since == b->since;
}

/* The step that accounts for this fact already; search->n: none. */
static uint32_t find(const struct search *search,
                     const struct candidate *candidate)
{
    for (uint32_t i = 0; i < search->n; i++) {
        bool stayed = keeps(&search->steps[i].account);

        if (same_value(&search->steps[i].fact, &candidate->fact) &&
            !(stayed && candidate->origin))
            return i;
    }
    return search->n;
}

static void add_step(struct search *search, const struct candidate *candidate)
{
    struct why_step *step = &search->steps[search->n];

    *step = (struct why_step){.fact = candidate->fact};
    search->cost[search->n] = candidate->cost;
    account_fact(search->trace, &step->fact, &step->account);
    drop_idle(search->trace, &step->account);
    go_to_origin(search->trace, step);
    look_through_command(search->trace, &step->fact, &step->account);
    step->scan = happened(step);
    wait_for_causes(search, search->n++);
}

static struct candidate take_cheapest(struct search *search)
{
    size_t best = 0;
    struct candidate taken;

    for (size_t i = 1; i < search->waiting.n; i++)
        if (search->waiting.at[i].cost < search->waiting.at[best].cost)
            best = i;
    taken = search->waiting.at[best];
    search->waiting.n--;
    for (size_t i = best; i < search->waiting.n; i++)
        search->waiting.at[i] = search->waiting.at[i + 1];
    return taken;
}

static void grow(struct search *search)
{
    while (search->waiting.n > 0) {
        struct candidate candidate = take_cheapest(search);
        uint32_t step = find(search, &candidate);

        if (step == search->n && search->n == WHY_MOST) {
            search->more = true;
            continue;
        }
        if (step == search->n)
            add_step(search, &candidate);
        search->steps[candidate.step].number[candidate.cause] = step + 1;
    }
    vec_release(&search->waiting);
}

/* ---- the order ---- */

static bool is_before(const struct why_step *a, const struct why_step *b)
{
    if (a->fact.thing == THING_NONE || b->fact.thing == THING_NONE)
        return a->fact.thing == THING_NONE;
    if (a->scan != b->scan)
        return a->scan > b->scan;
    if (comes_from_outside(&a->account) != comes_from_outside(&b->account))
        return comes_from_outside(&b->account);
    return a->fact.below > b->fact.below;
}

/* Steps from .. to - 1, in order, in these places of order. */
static void put_in_order(const struct search *search, uint32_t from,
                         uint32_t to, uint32_t *order)
{
    for (uint32_t i = from; i < to; i++) {
        uint32_t k = i;

        for (; k > from && is_before(&search->steps[i],
                                  &search->steps[order[k - 1]]); k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
}

static const struct why *finish(struct arena *arena, struct search *search)
{
    struct why *why = ARENA_NEW(arena, struct why);
    struct why_step *steps = arena_array(arena, search->n, sizeof *steps);
    uint32_t order[WHY_MOST], number[WHY_MOST + 1] = {0};
    uint32_t told = search->n < WHY_TOLD ? search->n : WHY_TOLD;

    put_in_order(search, 0, told, order);
    put_in_order(search, told, search->n, order);
    for (uint32_t i = 0; i < told; i++)
        number[order[i] + 1] = i + 1;
    for (uint32_t i = 0; i < search->n; i++) {
        steps[i] = search->steps[order[i]];
        for (uint32_t k = 0; k < CAUSES_MOST; k++)
            steps[i].number[k] = number[steps[i].number[k]];
    }
    why->trace = search->trace;
    why->steps = steps;
    why->n_steps = told;
    why->rest = steps + told;
    why->n_rest = search->n - told;
    why->more = search->more;
    return why;
}

/* ---- what is asked ---- */

const struct trace *why_trace(struct arena *arena, const struct model *model,
                              uint32_t requirement,
                              const struct replay *replay)
{
    const struct requirement *asked = &model->requirements[requirement];
    const struct step_setting setting = {
        .fault_limit = asked->despite + asked->another,
        .allowed = asked->despite_of,
        .whole = true,
    };

    return record_run(arena, model, &setting, replay, requirement);
}

/* The root is accounted for. */
static const struct why *follow(struct arena *arena, struct search *search)
{
    search->steps[0].scan = search->trace->first + search->trace->n_scans - 1;
    search->n = 1;
    wait_for_causes(search, 0);
    grow(search);
    return finish(arena, search);
}

const struct why *why_broken(struct arena *arena, const struct model *model,
                             uint32_t requirement,
                             const struct replay *replay)
{
    struct search search = {
        .trace = why_trace(arena, model, requirement, replay)};

    judged_account(search.trace, &search.steps[0].account);
    return follow(arena, &search);
}

const struct why *why_error(struct arena *arena, const struct model *model,
                            const struct replay *replay)
{
    const struct step_setting setting = {.fault_limit = model->n_causes,
                                         .whole = true};
    struct search search = {
        .trace = record_run(arena, model, &setting, replay, MODEL_NONE)};

    judged_error(search.trace, &search.steps[0].account);
    return follow(arena, &search);
}

const struct why *why_value(struct arena *arena, const struct trace *trace,
                            enum trace_thing thing, uint32_t index,
                            uint32_t scan)
{
    struct search search = {.trace = trace};
    const struct candidate asked = {
        .fact = cause_fact(trace, thing, index, trace_at(trace, scan)->end,
                           scan),
    };

    add_step(&search, &asked);
    grow(&search);
    return finish(arena, &search);
}
