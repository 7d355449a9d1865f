#include "logic/flow.h"

#include <stdlib.h>

#include "base/arena.h"
#include "logic/implied.h"
#include "logic/operands.h"

/* ---- through which nodes ---- */

struct marking {
    const struct slice *slice;
    struct arena *arena;
    uint32_t *met;  /* per node: the last cell, counted from 1 */
    VEC(flat_expr) todo, found;
};

static void meet(struct marking *m, flat_expr expr, uint32_t cell)
{
    if (m->met[expr] == cell + 1)
        return;
    m->met[expr] = cell + 1;
    vec_push(&m->todo, expr);
    vec_push(&m->found, expr);
}

/* Constant and boolean operands carry no number on. */
static void meet_operands(struct marking *m, const struct flat_node *node,
                          uint32_t cell)
{
    if (node->op == FLAT_ITE) {
        meet(m, node->b, cell);
        meet(m, node->c, cell);
    } else if (node->op == FLAT_ADD || node->op == FLAT_SUB) {
        meet(m, node->a, cell);
        meet(m, node->b, cell);
    }
}

static int ascending(const void *a, const void *b)
{
    flat_expr x = *(const flat_expr *)a, y = *(const flat_expr *)b;

    return x < y ? -1 : x > y;
}

static struct flow_list list_of(struct marking *m, uint32_t cell)
{
    const struct slice_cell *at = &m->slice->cells[cell];
    flat_expr *list;
    bool keeps = false;

    m->found.n = 0;
    meet(m, at->next, cell);
    while (m->todo.n > 0) {
        flat_expr expr = m->todo.at[--m->todo.n];
        const struct flat_node *node = &m->slice->nodes[expr];

        keeps = keeps || (node->op == FLAT_CELL && node->a == cell);
        meet_operands(m, node, cell);
    }
    if (!keeps)
        return (struct flow_list){NULL, 0};
    list = arena_array(m->arena, m->found.n, sizeof *list);
    for (size_t i = 0; i < m->found.n; i++)
        list[i] = m->found.at[i];
    qsort(list, m->found.n, sizeof *list, ascending);
    return (struct flow_list){list, (uint32_t)m->found.n};
}

struct flow *flow_new(struct arena *arena, const struct slice *slice)
{
    struct flow *flow = ARENA_NEW(arena, struct flow);
    struct marking m = {.slice = slice, .arena = arena};

    flow->slice = slice;
    flow->box = arena_array(arena, slice->n_cells + 1, sizeof *flow->box);
    flow->range = arena_array(arena, slice->n_nodes + 1,
                              sizeof *flow->range);
    flow->part = arena_array(arena, slice->n_nodes + 1, sizeof *flow->part);
    flow->list = arena_array(arena, slice->n_cells + 1, sizeof *flow->list);
    m.met = arena_array(arena, slice->n_nodes + 1, sizeof *m.met);
    for (uint32_t i = 0; i < slice->n_cells; i++)
        flow->list[i] = list_of(&m, i);
    vec_release(&m.todo);
    vec_release(&m.found);
    return flow;
}

/* ---- ranges ---- */

/* What a choice takes of one branch, as far as its condition says that. */
static bool taken(const struct flow *flow, const struct flat_node *node,
                  bool holds, struct range *range)
{
    const struct implied implied = {flow->slice->nodes, flow->range};
    flat_expr branch = holds ? node->b : node->c;

    if (holds ? flow->range[node->a].high == 0
              : flow->range[node->a].low == 1)
        return false;
    *range = flow->range[branch];
    return range_meet(*range, implied_range(&implied, node->a, holds, branch),
                      range);
}

static struct range range_chosen(const struct flow *flow,
                                 const struct flat_node *node)
{
    struct range a, b;
    bool first = taken(flow, node, true, &a);
    bool second = taken(flow, node, false, &b);

    if (first && second)
        return range_join(a, b);
    if (!first && !second) /* not reached, as far as is known now */
        return range_join(flow->range[node->b], flow->range[node->c]);
    return first ? a : b;
}

static struct range range_at(const struct flow *flow, flat_expr expr)
{
    const struct flat_node *node = &flow->slice->nodes[expr];
    struct range own = {node->low, node->high}, found = own, zero = {0, 0};
    flat_expr operand[3];
    uint32_t n = operands_of(node, operand);

    if (node->op == FLAT_CELL)
        found = flow->box[node->a];
    else if (node->op == FLAT_ITE)
        found = range_chosen(flow, node);
    else if (n > 0)
        found = range_of(node->op, flow->range[operand[0]],
                         n > 1 ? flow->range[operand[1]] : zero,
                         n > 2 ? flow->range[operand[2]] : zero);
    range_meet(found, own, &own);
    return own;
}

void flow_ranges(struct flow *flow)
{
    for (uint32_t i = 0; i < flow->slice->n_nodes; i++)
        flow->range[i] = range_at(flow, i);
}

/* ---- parts ---- */

static struct flow_part as_value(struct range value)
{
    return (struct flow_part){.has_value = true, .value = value,
                              .most = INT64_MIN, .least = INT64_MAX};
}

static struct flow_part join(struct flow_part a, struct flow_part b)
{
    struct flow_part result = a;

    if (b.has_value)
        result.value = a.has_value ? range_join(a.value, b.value) : b.value;
    if (b.has_step)
        result.step = a.has_step ? range_join(a.step, b.step) : b.step;
    result.has_value = a.has_value || b.has_value;
    result.has_step = a.has_step || b.has_step;
    result.most = a.most > b.most ? a.most : b.most;
    result.least = a.least < b.least ? a.least : b.least;
    return result;
}

/* What is known in this branch: v within `value`, c within `cell`. */
static void bound(struct flow_part *part, struct range value,
                  struct range cell)
{
    int64_t high, low;

    if (part->has_value && !range_meet(part->value, value, &part->value))
        part->has_value = false;
    if (!part->has_step)
        return;
    if (__builtin_add_overflow(cell.high, part->step.high, &high))
        high = INT64_MAX;
    if (__builtin_add_overflow(cell.low, part->step.low, &low))
        low = INT64_MIN;
    high = high < value.high ? high : value.high;
    low = low > value.low ? low : value.low;
    if (part->step.high > 0 && high < part->most)
        part->most = high;
    if (part->step.low < 0 && low > part->least)
        part->least = low;
}

static struct flow_part branch(const struct flow *flow, uint32_t cell,
                               const struct flat_node *node, bool holds)
{
    flat_expr expr = holds ? node->b : node->c;
    const struct implied implied = {flow->slice->nodes, flow->range};
    struct flow_part part = flow->part[expr];
    const struct range value =
        implied_range(&implied, node->a, holds, expr);
    const struct range held =
        implied_range(&implied, node->a, holds,
                      flow->slice->cells[cell].node);

    bound(&part, value, held);
    return part;
}

static struct flow_part of_choice(const struct flow *flow, uint32_t cell,
                                  const struct flat_node *node)
{
    struct range condition = flow->range[node->a];

    if (condition.low == 1)
        return branch(flow, cell, node, true);
    if (condition.high == 0)
        return branch(flow, cell, node, false);
    return join(branch(flow, cell, node, true),
                branch(flow, cell, node, false));
}

/* The part moved by something of that range; false where int64 is left. */
static bool move(struct flow_part *part, struct range by)
{
    if (part->has_value &&
        (__builtin_add_overflow(part->value.low, by.low, &part->value.low) ||
         __builtin_add_overflow(part->value.high, by.high,
                                &part->value.high)))
        return false;
    if (!part->has_step)
        return true;
    if (__builtin_add_overflow(part->step.low, by.low, &part->step.low) ||
        __builtin_add_overflow(part->step.high, by.high, &part->step.high))
        return false;
    if (by.high > 0)
        part->most = INT64_MAX;
    if (by.low < 0)
        part->least = INT64_MIN;
    return true;
}

static struct flow_part of_sum(const struct flow *flow, flat_expr expr,
                               const struct flat_node *node)
{
    struct flow_part a = flow->part[node->a], b = flow->part[node->b];
    struct range by = flow->range[node->b];
    const struct range all = flow->range[expr];

    if (all.low == INT64_MIN || all.high == INT64_MAX)
        return as_value(all);
    if (node->op == FLAT_SUB && by.low == INT64_MIN)
        return as_value(all);
    if (node->op == FLAT_SUB)
        by = (struct range){-by.high, -by.low};
    if (a.has_step && !b.has_step && move(&a, by))
        return a;
    if (node->op == FLAT_ADD && b.has_step && !a.has_step &&
        move(&b, flow->range[node->a]))
        return b;
    return as_value(all);
}

static struct flow_part part_at(const struct flow *flow, uint32_t cell,
                                flat_expr expr)
{
    const struct flat_node *node = &flow->slice->nodes[expr];

    if (node->op == FLAT_CELL && node->a == cell)
        return (struct flow_part){.has_step = true, .most = INT64_MIN,
                                  .least = INT64_MAX};
    if (node->op == FLAT_ITE)
        return of_choice(flow, cell, node);
    if (node->op == FLAT_ADD || node->op == FLAT_SUB)
        return of_sum(flow, expr, node);
    return as_value(flow->range[expr]);
}

struct flow_part flow_of(struct flow *flow, uint32_t cell)
{
    const struct flow_list *list = &flow->list[cell];
    flat_expr next = flow->slice->cells[cell].next;

    if (list->n == 0)
        return as_value(flow->range[next]);
    for (uint32_t i = 0; i < list->n; i++)
        flow->part[list->at[i]] = part_at(flow, cell, list->at[i]);
    return flow->part[next];
}
