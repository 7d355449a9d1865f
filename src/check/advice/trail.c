#include "check/advice/trail.h"

#include <stdlib.h>

/* ---- order ---- */

struct making {
    struct trail *trail;
    const struct code_stmt *stmt;
    uint32_t node, top;
};

static void note(struct making *m, struct trail_event event)
{
    event.stmt = m->stmt;
    event.node = m->node;
    event.top = m->top;
    if (!event.span.file)
        event.span = m->stmt->span;
    vec_push(&m->trail->events, event);
}

static void note_expr(struct making *m, const struct code_expr *expr);

/* What happens to a variable of this type; the indices are read first. */
static void note_of(struct making *m, struct trail_event event,
                    const struct type *type)
{
    const struct code_variable *variable = &event.variable;

    for (uint32_t i = 0; i < variable->n_steps; i++)
        note_expr(m, variable->steps[i].value);
    event.reach = code_reach(variable, type ? type->size : 1);
    event.maybe |= variable->n_steps > 0;
    note(m, event);
}

static void note_args(struct making *m, const struct code_arg *args,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].kind == ARG_INPUT)
            note_expr(m, args[i].value);
        else if (args[i].kind == ARG_IN_OUT)
            note_of(m,
                    (struct trail_event){.kind = TRAIL_READ,
                                         .variable = args[i].target},
                    args[i].target_type);
}

static void note_taken(struct making *m, const struct code_arg *args,
                       uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].kind != ARG_INPUT)
            note_of(m,
                    (struct trail_event){.kind = TRAIL_WRITE,
                                         .variable = args[i].target,
                                         .maybe =
                                             args[i].kind == ARG_IN_OUT},
                    args[i].target_type);
}

static void note_expr(struct making *m, const struct code_expr *expr)
{
    if (!expr)
        return;
    note_expr(m, expr->left);
    note_expr(m, expr->right);
    note_args(m, expr->args, expr->n_args);
    if (expr->op == CODE_VARIABLE)
        note_of(m,
                (struct trail_event){.kind = TRAIL_READ,
                                     .variable = expr->variable,
                                     .span = expr->span},
                expr->type);
    if (expr->op == CODE_CALL)
        note(m, (struct trail_event){.kind = TRAIL_CALL,
                                     .variable = {.base = CODE_IN_OUT,
                                                  .index = UINT32_MAX},
                                     .pou = expr->pou,
                                     .span = expr->span});
    note_taken(m, expr->args, expr->n_args);
}

static bool is_loop(const struct code_stmt *stmt)
{
    return stmt->kind == CODE_FOR || stmt->kind == CODE_WHILE ||
           stmt->kind == CODE_REPEAT;
}

static void note_list(struct making *m, const struct code_stmt *stmts,
                      uint32_t count);

static void note_branches(struct making *m, const struct code_stmt *stmt)
{
    uint32_t node = m->node;

    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct code_branch *branch = &stmt->branches[i];
        struct trail_node inner = m->trail->nodes.at[node];

        m->stmt = stmt;
        note_expr(m, branch->condition);
        inner.parent = node;
        inner.depth++;
        inner.stmt = stmt;
        inner.branch = branch;
        inner.loop |= is_loop(stmt);
        m->node = (uint32_t)m->trail->nodes.n;
        vec_push(&m->trail->nodes, inner);
        note_list(m, branch->body, branch->n_body);
        m->node = node;
    }
}

/* Behind its first value; UNTIL is asked behind the body. */
static void note_loop(struct making *m, const struct code_stmt *stmt)
{
    if (stmt->kind == CODE_FOR) {
        note_expr(m, stmt->loop->to);
        note_expr(m, stmt->loop->by);
        note_of(m,
                (struct trail_event){.kind = TRAIL_WRITE,
                                     .variable = stmt->target},
                stmt->target_type);
    }
    note_branches(m, stmt);
    m->stmt = stmt;
    if (stmt->kind == CODE_REPEAT)
        note_expr(m, stmt->value);
}

static bool is_leaving(const struct code_stmt *stmt)
{
    return stmt->kind == CODE_EXIT || stmt->kind == CODE_CONTINUE ||
           stmt->kind == CODE_RETURN;
}

static void note_call(struct making *m, const struct code_stmt *stmt)
{
    const struct code_variable *instance = &stmt->instance;

    for (uint32_t i = 0; i < instance->n_steps; i++)
        note_expr(m, instance->steps[i].value);
    note(m, (struct trail_event){
                .kind = TRAIL_CALL,
                .variable = *instance,
                .reach = code_reach(instance, stmt->pou->size),
                .maybe = instance->n_steps > 0,
                .pou = stmt->pou});
}

static void note_stmt(struct making *m, const struct code_stmt *stmt)
{
    if (is_leaving(stmt)) {
        note(m, (struct trail_event){.kind = TRAIL_LEAVE,
                                     .variable = {.base = CODE_IN_OUT,
                                                  .index = UINT32_MAX}});
        return;
    }
    if (stmt->kind != CODE_REPEAT)
        note_expr(m, stmt->value);
    if (is_loop(stmt)) {
        note_loop(m, stmt);
        return;
    }
    note_args(m, stmt->args, stmt->n_args);
    if (stmt->kind == CODE_ASSIGN)
        note_of(m,
                (struct trail_event){.kind = TRAIL_WRITE,
                                     .variable = stmt->target,
                                     .value = stmt->value},
                stmt->target_type);
    if (stmt->kind == CODE_INVOKE)
        note_call(m, stmt);
    note_taken(m, stmt->args, stmt->n_args);
    note_branches(m, stmt);
}

static void note_list(struct making *m, const struct code_stmt *stmts,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!m->node) {
            m->top = i;
            vec_push(&m->trail->tops, m->trail->events.n);
        }
        m->stmt = &stmts[i];
        note_stmt(m, &stmts[i]);
    }
}

/* ---- writes of the same place ---- */

struct write {
    struct code_variable variable;
    uint32_t reach;
    size_t at;
};

static int compare(uint64_t a, uint64_t b)
{
    return a < b ? -1 : a > b;
}

static int by_place(const void *a, const void *b)
{
    const struct write *left = a, *right = b;
    int order = compare(left->variable.base, right->variable.base);

    order = order ? order
                  : compare(left->variable.index, right->variable.index);
    order = order ? order
                  : compare(left->variable.offset, right->variable.offset);
    order = order ? order : compare(left->reach, right->reach);
    return order ? order : compare(left->at, right->at);
}

static void chain_writes(struct trail *trail)
{
    VEC(struct write) writes = {0};

    for (size_t i = 0; i < trail->events.n; i++) {
        struct trail_event *event = &trail->events.at[i];

        event->next = TRAIL_NONE;
        if (event->kind == TRAIL_WRITE && !event->variable.n_steps)
            vec_push(&writes,
                     ((struct write){event->variable, event->reach, i}));
    }
    if (writes.n)
        qsort(writes.at, writes.n, sizeof *writes.at, by_place);
    for (size_t i = 1; i < writes.n; i++)
        if (writes.at[i - 1].reach == writes.at[i].reach &&
            trail_same(writes.at[i - 1].variable, writes.at[i].variable))
            trail->events.at[writes.at[i - 1].at].next = writes.at[i].at;
    vec_release(&writes);
}

void trail_make(struct trail *trail, const struct code_stmt *stmts,
                uint32_t count)
{
    struct making m = {.trail = trail};

    *trail = (struct trail){0};
    vec_push(&trail->nodes, (struct trail_node){0});
    note_list(&m, stmts, count);
    vec_push(&trail->tops, trail->events.n);
    chain_writes(trail);
}

void trail_release(struct trail *trail)
{
    vec_release(&trail->events);
    vec_release(&trail->nodes);
    vec_release(&trail->tops);
}

/* ---- questions ---- */

bool trail_within(const struct trail *trail, uint32_t inner, uint32_t outer)
{
    const struct trail_node *nodes = trail->nodes.at;

    while (nodes[inner].depth > nodes[outer].depth)
        inner = nodes[inner].parent;
    return inner == outer;
}

bool trail_exclusive(const struct trail *trail, uint32_t a, uint32_t b)
{
    const struct trail_node *nodes = trail->nodes.at;

    while (nodes[a].depth > nodes[b].depth)
        a = nodes[a].parent;
    while (nodes[b].depth > nodes[a].depth)
        b = nodes[b].parent;
    if (a == b)
        return false;
    while (nodes[a].parent != nodes[b].parent) {
        a = nodes[a].parent;
        b = nodes[b].parent;
    }
    return nodes[a].stmt == nodes[b].stmt && !nodes[nodes[a].parent].loop;
}

bool trail_same(struct code_variable a, struct code_variable b)
{
    return a.base == b.base && a.index == b.index && a.offset == b.offset &&
           !a.n_steps && !b.n_steps;
}

/* Whole VAR_IN_OUTs are told apart, not their parts. */
bool trail_touches(const struct trail_event *event,
                   struct code_variable variable, uint32_t size)
{
    uint64_t from = event->variable.index, to = from + event->reach;

    if (event->variable.base != variable.base)
        return false;
    if (variable.base == CODE_IN_OUT)
        return event->variable.index == variable.index;
    return from < variable.index + (uint64_t)size && variable.index < to;
}

bool trail_below(const struct trail *trail, uint32_t node,
                 const struct code_stmt *stmt)
{
    while (node && trail->nodes.at[node].stmt != stmt)
        node = trail->nodes.at[node].parent;
    return node != 0;
}

/* ---- expressions ---- */

struct looking {
    trail_see *see;
    void *context;
    const struct code_stmt *stmt;
};

static void look_expr(struct looking *look, const struct code_expr *expr);

static void look_steps(struct looking *look,
                       const struct code_variable *variable)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        look_expr(look, variable->steps[i].value);
}

static void look_args(struct looking *look, const struct code_arg *args,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        look_expr(look, args[i].value);
        if (args[i].kind != ARG_INPUT)
            look_steps(look, &args[i].target);
    }
}

static void look_expr(struct looking *look, const struct code_expr *expr)
{
    if (!expr)
        return;
    look->see(look->context, look->stmt, expr);
    look_steps(look, &expr->variable);
    look_expr(look, expr->left);
    look_expr(look, expr->right);
    look_args(look, expr->args, expr->n_args);
}

static void look_list(struct looking *look, const struct code_stmt *stmts,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        const struct code_stmt *stmt = &stmts[i];

        look->stmt = stmt;
        look_expr(look, stmt->value);
        look_steps(look, &stmt->target);
        look_steps(look, &stmt->instance);
        if (stmt->kind == CODE_FOR) {
            look_expr(look, stmt->loop->to);
            look_expr(look, stmt->loop->by);
        }
        look_args(look, stmt->args, stmt->n_args);
        for (uint32_t b = 0; b < stmt->n_branches; b++) {
            look->stmt = stmt;
            look_expr(look, stmt->branches[b].condition);
            look_list(look, stmt->branches[b].body,
                      stmt->branches[b].n_body);
        }
    }
}

void trail_expressions(const struct code_stmt *stmts, uint32_t count,
                       trail_see *see, void *context)
{
    struct looking look = {.see = see, .context = context};

    look_list(&look, stmts, count);
}
