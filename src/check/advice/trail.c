#include "check/advice/trail.h"

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

static void note_args(struct making *m, const struct code_arg *args,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].kind == ARG_INPUT)
            note_expr(m, args[i].value);
        else if (args[i].kind == ARG_IN_OUT)
            note(m, (struct trail_event){.kind = TRAIL_READ,
                                         .variable = args[i].target});
}

static void note_taken(struct making *m, const struct code_arg *args,
                       uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].kind != ARG_INPUT)
            note(m, (struct trail_event){.kind = TRAIL_WRITE,
                                         .variable = args[i].target,
                                         .maybe =
                                             args[i].kind == ARG_IN_OUT});
}

static void note_expr(struct making *m, const struct code_expr *expr)
{
    if (!expr)
        return;
    note_expr(m, expr->left);
    note_expr(m, expr->right);
    note_args(m, expr->args, expr->n_args);
    if (expr->op == CODE_VARIABLE)
        note(m, (struct trail_event){.kind = TRAIL_READ,
                                     .variable = expr->variable,
                                     .span = expr->span});
    if (expr->op == CODE_CALL)
        note(m, (struct trail_event){.kind = TRAIL_CALL,
                                     .variable = {CODE_IN_OUT, UINT32_MAX},
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
        note(m, (struct trail_event){.kind = TRAIL_WRITE,
                                     .variable = stmt->target});
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

static void note_stmt(struct making *m, const struct code_stmt *stmt)
{
    if (is_leaving(stmt)) {
        note(m, (struct trail_event){.kind = TRAIL_LEAVE,
                                     .variable = {CODE_IN_OUT,
                                                  UINT32_MAX}});
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
        note(m, (struct trail_event){.kind = TRAIL_WRITE,
                                     .variable = stmt->target,
                                     .value = stmt->value});
    if (stmt->kind == CODE_INVOKE)
        note(m, (struct trail_event){
                    .kind = TRAIL_CALL,
                    .variable = {stmt->instance_global ? CODE_GLOBAL
                                                       : CODE_LOCAL,
                                 stmt->instance},
                    .pou = stmt->pou});
    note_taken(m, stmt->args, stmt->n_args);
    note_branches(m, stmt);
}

static void note_list(struct making *m, const struct code_stmt *stmts,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!m->node)
            m->top = i;
        m->stmt = &stmts[i];
        note_stmt(m, &stmts[i]);
    }
}

void trail_make(struct trail *trail, const struct code_stmt *stmts,
                uint32_t count)
{
    struct making m = {.trail = trail};

    *trail = (struct trail){0};
    vec_push(&trail->nodes, (struct trail_node){0});
    note_list(&m, stmts, count);
}

void trail_release(struct trail *trail)
{
    vec_release(&trail->events);
    vec_release(&trail->nodes);
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
    return a.base == b.base && a.index == b.index;
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

static void look_args(struct looking *look, const struct code_arg *args,
                      uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        look_expr(look, args[i].value);
}

static void look_expr(struct looking *look, const struct code_expr *expr)
{
    if (!expr)
        return;
    look->see(look->context, look->stmt, expr);
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
