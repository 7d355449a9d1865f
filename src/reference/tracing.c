#include "reference/tracing.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "base/vec.h"
#include "reference/guards.h"

/* What lies in vecs here is copied to the arena at the end. */
struct tracing {
    struct arena *arena;
    struct trace *trace;
    VEC(const struct trace_node *) stack;
    VEC(struct trace_scan) scans;
    VEC(const struct trace_guard *) guards; /* of the running scan */
    struct trace_guard *guard;              /* the innermost entered */
    const struct trace_node **clock, **sensor;
    const struct trace_event **latest[THING_KINDS];
    uint32_t counts[THING_KINDS];
    uint32_t scan;   /* its number */
    int64_t time;    /* of its judging, ms */
    uint64_t serial;
    uint32_t open; /* row that was just looked at; MODEL_NONE */
};

/* ---- beginning and end ---- */

static void count_things(struct tracing *t, const struct model *model)
{
    t->counts[THING_SLOT] = model->n_slots;
    t->counts[THING_HAND] = model->n_controls;
    t->counts[THING_LINE] = model->n_contacts + model->n_sensors;
    t->counts[THING_FAULT] = model->n_faults;
    t->counts[THING_POWER] = 1;
    t->counts[THING_OPEN] = model->n_choices;
}

struct tracing *tracing_new(struct arena *arena, const struct model *model,
                            uint32_t requirement, uint32_t first)
{
    struct tracing *t = ARENA_NEW(arena, struct tracing);

    t->arena = arena;
    t->trace = ARENA_NEW(arena, struct trace);
    t->trace->model = model;
    t->trace->requirement = requirement;
    t->trace->first = first;
    t->scan = first - 1;
    t->open = MODEL_NONE;
    t->clock = arena_array(arena, model->n_clocks, sizeof *t->clock);
    t->sensor = arena_array(arena, model->n_sensors, sizeof *t->sensor);
    count_things(t, model);
    for (int k = 0; k < THING_KINDS; k++) {
        t->latest[k] = arena_array(arena, t->counts[k], sizeof **t->latest);
        t->trace->latest[k] = t->latest[k];
        t->trace->start[k] = arena_array(arena, t->counts[k],
                                         sizeof(int64_t));
    }
    return t;
}

static int64_t position(const struct model *model, uint32_t control,
                        const uint32_t *choices)
{
    const struct choice *row =
        &model->choices[model->controls[control].choice];

    return row->values[choices ? choices[model->controls[control].choice]
                               : row->rest];
}

static int64_t *start_of(struct tracing *t, enum trace_thing thing)
{
    return (int64_t *)t->trace->start[thing];
}

void tracing_start(struct tracing *t, const struct layout *layout,
                   const int64_t *state, const uint32_t *choices,
                   int64_t time)
{
    const struct model *model = t->trace->model;

    t->time = time;
    for (uint32_t i = 0; i < model->n_slots; i++)
        start_of(t, THING_SLOT)[i] = state[layout_at(layout, PLACE_SLOT, i)];
    for (uint32_t i = 0; i < model->n_controls; i++)
        start_of(t, THING_HAND)[i] = position(model, i, choices);
    for (uint32_t i = 0; i < model->n_faults; i++)
        start_of(t, THING_FAULT)[i] =
            state[layout_at(layout, PLACE_FAULT, i)];
    for (uint32_t i = 0; i < model->n_choices; i++)
        start_of(t, THING_OPEN)[i] = INT64_MIN; /* chosen in each scan */
    start_of(t, THING_POWER)[0] = !state[layout_at(layout, PLACE_WAS_DARK,
                                                   0)];
}

const struct trace *tracing_end(struct tracing *t)
{
    struct trace_scan *scans = arena_array(t->arena, t->scans.n,
                                           sizeof *scans);

    if (t->scans.n > 0)
        memcpy(scans, t->scans.at, t->scans.n * sizeof *scans);
    t->trace->scans = scans;
    t->trace->n_scans = (uint32_t)t->scans.n;
    vec_release(&t->scans);
    vec_release(&t->guards);
    vec_release(&t->stack);
    return t->trace;
}

/* ---- the stack ---- */

uint32_t tracing_depth(const struct scan *scan)
{
    return scan->tracing ? (uint32_t)scan->tracing->stack.n : 0;
}

void tracing_cut(struct scan *scan, uint32_t depth)
{
    if (scan->tracing && scan->tracing->stack.n > depth)
        scan->tracing->stack.n = depth;
}

static const struct trace_node *node_at(const struct tracing *t, size_t depth)
{
    return depth < t->stack.n ? t->stack.at[depth] : NULL;
}

static const struct trace_node *pop(struct tracing *t)
{
    return t->stack.n > 0 ? t->stack.at[--t->stack.n] : NULL;
}

static void push(struct tracing *t, const struct trace_node *node)
{
    vec_push(&t->stack, node);
}

static const struct trace_node *const *
copy_stack(struct tracing *t, uint32_t depth, uint32_t *n)
{
    const struct trace_node **copy;

    *n = t->stack.n > depth ? (uint32_t)t->stack.n - depth : 0;
    copy = arena_array(t->arena, *n, sizeof *copy);
    for (uint32_t i = 0; i < *n; i++)
        copy[i] = t->stack.at[depth + i];
    return copy;
}

/* ---- events ---- */

static void add_event(struct tracing *t, struct trace_event event)
{
    struct trace_event *copy = ARENA_NEW(t->arena, struct trace_event);
    const struct trace_event **latest = t->latest[event.thing];

    ENSURE(event.index < t->counts[event.thing]);
    event.scan = t->scan;
    event.serial = t->serial++;
    event.last = latest[event.index];
    if (!event.guard)
        event.guard = t->guard;
    *copy = event;
    latest[event.index] = copy;
}

void tracing_event(struct scan *scan, uint32_t slot, uint32_t depth,
                   struct trace_event event)
{
    struct tracing *t = scan->tracing;

    if (!t || scan->failed)
        return;
    event.thing = THING_SLOT;
    event.index = slot;
    event.value = *scan_now(scan, PLACE_SLOT, slot);
    if (depth != TRACING_NO_NODE) {
        event.node = node_at(t, depth);
        if (event.n_indices > 0)
            event.indices = copy_stack(t, depth + 1, &event.n_indices);
    }
    add_event(t, event);
}

void tracing_line(struct scan *scan, uint32_t line, int64_t value)
{
    struct tracing *t = scan->tracing;
    const struct trace_event *latest = t ? t->latest[THING_LINE][line] : NULL;
    uint32_t n = scan->model->n_contacts;

    if (!t || scan->failed || (latest && latest->scan == t->scan))
        return;
    add_event(t, (struct trace_event){
                     .kind = TRACE_OUTSIDE,
                     .thing = THING_LINE,
                     .index = line,
                     .value = value,
                     .node = line < n ? NULL : t->sensor[line - n],
                 });
}

static void outside(struct tracing *t, enum trace_thing thing,
                    uint32_t index, int64_t value)
{
    const struct trace_event *latest = t->latest[thing][index];
    int64_t was = latest ? latest->value : t->trace->start[thing][index];

    if (was != value)
        add_event(t, (struct trace_event){.kind = TRACE_OUTSIDE,
                                          .thing = thing,
                                          .index = index,
                                          .value = value});
}

static bool is_shown_part(const struct code_pou *pou, uint32_t offset)
{
    switch (pou->standard) {
    case STANDARD_TON:
    case STANDARD_TOF:
    case STANDARD_TP:
        return offset == TIMER_Q || offset == TIMER_ET ||
               offset == TIMER_RUNNING || offset == TIMER_M ||
               offset == TIMER_HELD;
    case STANDARD_R_TRIG:
    case STANDARD_F_TRIG:
        return offset == EDGE_Q || offset == EDGE_M;
    case STANDARD_CTU:
    case STANDARD_CTD:
    case STANDARD_CTUD:
        return offset >= COUNTER_QU && offset <= COUNTER_MD;
    default:
        return offset == LATCH_Q1;
    }
}

/* What a call gives a value even where it stays the same. */
static bool is_output(const struct code_pou *pou, uint32_t offset)
{
    if (pou->standard >= STANDARD_CTU)
        return offset >= COUNTER_QU && offset <= COUNTER_CV;
    return offset == TIMER_Q || offset == EDGE_Q;
}

void tracing_block(struct scan *scan, const struct code_pou *pou,
                   uint32_t frame, const int64_t *before, struct span span)
{
    if (!scan->tracing)
        return;
    for (uint32_t i = 0; i < pou->size; i++) {
        bool changed = *scan_now(scan, PLACE_SLOT, frame + i) != before[i];

        if (is_shown_part(pou, i) && (changed || is_output(pou, i)))
            tracing_event(scan, frame + i, TRACING_NO_NODE,
                          (struct trace_event){.kind = TRACE_BLOCK,
                                               .span = span,
                                               .pou = pou,
                                               .frame = frame});
    }
}

/* ---- the scan ---- */

static void hands(struct scan *scan)
{
    for (uint32_t i = 0; i < scan->model->n_controls; i++)
        outside(scan->tracing, THING_HAND, i,
                position(scan->model, i, scan->choices));
}

void tracing_scan(struct scan *scan)
{
    struct tracing *t = scan->tracing;

    if (!t)
        return;
    t->scan++;
    vec_clear(&t->guards);
    t->stack.n = 0;
    t->guard = NULL;
    t->time += scan->setting->first ? 0 : scan->elapsed;
    vec_push(&t->scans, ((struct trace_scan){.dark = scan->dark,
                                             .time = t->time,
                                             .begin = t->serial++}));
    outside(t, THING_POWER, 0, scan->lit);
    for (uint32_t i = 0; i < scan->model->n_faults; i++)
        outside(t, THING_FAULT, i, scan_fault(scan, i));
    hands(scan);
}

static uint32_t assumed(const struct scan *scan)
{
    const bool *dropped = scan->setting->dropped;
    uint32_t n = scan->model->n_assumptions;

    for (uint32_t i = 0; dropped && i < scan->model->n_assumptions; i++)
        n -= dropped[i];
    return n;
}

/* The conditions of the movements still lie lowest on the stack, then the
 * assumptions. */
static void keep_lowest(struct scan *scan, struct trace_scan *row)
{
    struct tracing *t = scan->tracing;
    uint32_t n = scan->setting->first ? 0 : scan->model->n_movements;
    uint32_t most = assumed(scan);

    if (scan->failed)
        return;
    ENSURE(t->stack.n >= n);
    row->assumptions = copy_stack(t, n, &row->n_assumptions);
    if (row->n_assumptions > most)
        row->n_assumptions = most;
    row->movements = copy_stack(t, 0, &row->n_movements);
    row->n_movements = n;
}

void tracing_scanned(struct scan *scan)
{
    struct tracing *t = scan->tracing;
    const struct trace_guard **copy;
    struct trace_scan *row;

    if (!t)
        return;
    row = &t->scans.at[t->scans.n - 1];
    copy = arena_array(t->arena, t->guards.n, sizeof *copy);
    for (size_t i = 0; i < t->guards.n; i++)
        copy[i] = t->guards.at[i];
    row->guards = copy;
    row->n_guards = (uint32_t)t->guards.n;
    keep_lowest(scan, row);
    row->end = t->serial++;
}

/* ---- expressions ---- */

static void name_leaf(struct scan *scan, struct trace_node *node,
                      uint32_t slot)
{
    const struct code_expr *expr = node->expr;

    node->index = expr->index;
    node->before = expr->when != CODE_NOW;
    switch (expr->op) {
    case CODE_VARIABLE:
        node->index = slot;
        node->thing = THING_SLOT;
        if (expr->when == CODE_PREVIOUS && scan->no_edge &&
            scan->model->slots[slot].driver != DRIVER_NONE)
            node->before = false;
        break;
    case CODE_READ:
        node->thing = THING_SLOT;
        node->before = node->before && !scan->no_edge;
        break;
    case CODE_CONTACT:
        node->index = scan->model->contacts[expr->index].control;
        node->thing = THING_HAND;
        break;
    case CODE_HAND: node->thing = THING_HAND; break;
    case CODE_FAULT: node->thing = THING_FAULT; break;
    case CODE_CONDUCTS: node->thing = THING_LINE; break;
    case CODE_SENSED:
        node->index += scan->model->n_contacts;
        node->thing = THING_LINE;
        break;
    case CODE_COMMANDED:
        node->index = scan->model->actuators[expr->index].command;
        node->thing = node->index == MODEL_NONE ? THING_NONE : THING_SLOT;
        break;
    case CODE_POWER: case CODE_COLD: case CODE_WARM:
        node->index = 0;
        node->thing = THING_POWER;
        break;
    default: break;
    }
    if (node->thing == THING_HAND && expr->when == CODE_PREVIOUS &&
        scan->no_edge)
        node->before = false;
}

/* The right side of AND_THEN and OR_ELSE need not be. */
static bool was_evaluated(const struct tracing *t,
                          const struct code_expr *expr)
{
    const struct trace_node *top = node_at(t, t->stack.n - 1);

    return (expr->op != CODE_AND_THEN && expr->op != CODE_OR_ELSE) ||
           (top && top->expr == expr->right);
}

/* Of SEL and MUX what chooses and what is chosen; of the others all, in
 * nodes that stand for the first ones together. */
static void take_arguments(struct tracing *t, struct trace_node *node)
{
    const struct code_expr *expr = node->expr;
    bool selects = expr->function == FUNCTION_SEL ||
                   expr->function == FUNCTION_MUX;
    const struct trace_node *arg[FUNCTION_MOST_ARGS] = {NULL};
    struct trace_node *joined;
    uint32_t n = expr->n_args;

    ENSURE(n > 0 && n <= FUNCTION_MOST_ARGS);
    for (uint32_t i = n; i-- > 0;)
        arg[i] = pop(t);
    node->left = arg[0];
    if (selects) { /* nothing, where there is none of that number */
        if (arg[0]->value >= 0 && arg[0]->value + 1 < n)
            node->right = arg[arg[0]->value + 1];
        return;
    }
    for (uint32_t i = 1; i + 1 < n; i++) {
        joined = ARENA_NEW(t->arena, struct trace_node);
        *joined = *node;
        joined->right = arg[i];
        node->left = joined;
    }
    node->right = n > 1 ? arg[n - 1] : NULL;
}

static void take_operands(struct scan *scan, struct trace_node *node)
{
    struct tracing *t = scan->tracing;
    const struct code_expr *expr = node->expr;

    if (expr->op == CODE_VARIABLE && expr->variable.n_steps > 0) {
        ENSURE(t->stack.n >= expr->variable.n_steps);
        node->indices =
            copy_stack(t, (uint32_t)t->stack.n - expr->variable.n_steps,
                       &node->n_indices);
        t->stack.n -= node->n_indices;
    } else if (expr->op == CODE_SENSOR) {
        node->left = pop(t);
    } else if (expr->op == CODE_TRUE_FOR) {
        node->left = t->clock[expr->index];
    } else if (expr->op == CODE_STANDARD) {
        take_arguments(t, node);
    } else if (expr->op > CODE_TRUE_FOR && expr->op != CODE_CALL &&
               expr->op != CODE_ANY) {
        if (expr->right && was_evaluated(t, expr))
            node->right = pop(t);
        node->left = pop(t);
    }
}

static void name_open(struct tracing *t, struct trace_node *node)
{
    if (t->open == MODEL_NONE)
        return;
    node->thing = THING_OPEN;
    node->index = t->open;
    t->open = MODEL_NONE;
}

void tracing_expr(struct scan *scan, const struct code_expr *expr,
                  int64_t value, uint32_t slot)
{
    struct tracing *t = scan->tracing;
    struct trace_node *node;

    if (!t || (scan->failed && t->trace->error))
        return;
    node = ARENA_NEW(t->arena, struct trace_node);
    node->expr = expr;
    node->value = value;
    node->scan = t->scan;
    node->serial = t->serial++;
    if (expr) {
        take_operands(scan, node);
        if (expr->op < CODE_TRUE_FOR)
            name_leaf(scan, node, slot);
        else if (expr->op == CODE_CALL) {
            node->thing = THING_SLOT;
            node->index = slot;
        } else {
            name_open(t, node);
        }
    }
    if (scan->failed)
        t->trace->error = node;
    else
        push(t, node);
}

static void look_at_open(struct scan *scan, uint32_t row)
{
    struct tracing *t = scan->tracing;
    const struct choice *choice = &scan->model->choices[row];

    t->open = row;
    add_event(t, (struct trace_event){
                     .kind = TRACE_OUTSIDE,
                     .thing = THING_OPEN,
                     .index = row,
                     .value = choice->values[scan->choices[row]]});
}

void tracing_held(struct scan *scan, enum code_op op, uint32_t index)
{
    struct tracing *t = scan->tracing;
    const struct trace_node *node;

    if (!t || scan->failed)
        return;
    if (op == CODE_ANY) {
        look_at_open(scan, index);
        return;
    }
    node = pop(t);
    if (op == CODE_TRUE_FOR)
        t->clock[index] = node;
    else
        t->sensor[index] = node;
}

/* ---- branches ---- */

const struct trace_guard *guards_enter(struct scan *scan, uint32_t base,
                                       const struct code_stmt *stmt,
                                       uint32_t taken, uint32_t depth)
{
    struct tracing *t = scan->tracing;
    const struct trace_guard *outer = t ? t->guard : NULL;
    struct trace_guard *guard;

    if (!t)
        return NULL;
    guard = ARENA_NEW(t->arena, struct trace_guard);
    guard->stmt = stmt;
    guard->taken = taken;
    guard->condition = copy_stack(t, depth, &guard->n_conditions);
    guard->outer = outer;
    guard->base = base;
    guard->serial = t->serial++;
    t->guard = guard;
    vec_push(&t->guards, guard);
    tracing_cut(scan, depth);
    return outer;
}

const struct trace_guard *guards_now(const struct scan *scan)
{
    return scan->tracing ? scan->tracing->guard : NULL;
}

void guards_back(struct scan *scan, const struct trace_guard *outer)
{
    if (scan->tracing)
        scan->tracing->guard = (struct trace_guard *)outer;
}

void guards_leave(struct scan *scan, const struct code_stmt *stmt)
{
    if (scan->tracing && scan->tracing->guard)
        scan->tracing->guard->left = stmt;
}

/* ---- judging ---- */

static const struct trace_node *take(struct tracing *t, size_t *depth,
                                     const struct code_expr *expr)
{
    return expr ? node_at(t, (*depth)++) : NULL;
}

static const struct trace_node *const *
take_many(struct tracing *t, size_t *depth, uint32_t n)
{
    const struct trace_node **list = arena_array(t->arena, n, sizeof *list);

    for (uint32_t i = 0; i < n; i++)
        list[i] = node_at(t, (*depth)++);
    return list;
}

void tracing_judged(struct scan *scan, uint32_t requirement, uint32_t depth,
                    bool flag)
{
    struct tracing *t = scan->tracing;
    const struct requirement *asked;
    struct trace_judging *to;
    size_t at = depth;

    if (!t)
        return;
    if (requirement == t->trace->requirement) {
        asked = &scan->model->requirements[requirement];
        to = &t->scans.at[t->scans.n - 1].judging;
        to->flag = flag;
        to->a = take(t, &at, asked->a);
        to->b = take(t, &at, asked->b);
        to->c = take(t, &at, asked->c);
        to->a_previous = take(t, &at, asked->a_previous);
        to->started = take_many(t, &at, asked->n_started_by);
        to->cancelled = take_many(t, &at, asked->n_cancelled_by);
        to->noticed = take(t, &at, asked->noticed);
    }
    tracing_cut(scan, depth);
}
