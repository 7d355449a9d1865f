#include "reference/targets.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "base/hash.h"
#include "reference/eval.h"

enum { BUCKETS = 1024, MOST_VISITS = 1000000 };

/* One statement in one frame. */
struct row {
    const struct code_stmt *stmt;
    uint32_t base;
    bool *slot; /* per slot of the model, while the text is read */
    struct target_list list;
    struct row *next; /* in its bucket, then of all */
    struct row *after;
};

struct targets {
    struct row *bucket[BUCKETS];
    struct row *all;
};

/* The statements that are around the one being read, callers included. */
struct around {
    struct row *row;
    const struct around *outer;
};

struct reader {
    struct arena *arena;
    const struct model *model;
    struct targets *targets;
    uint32_t visits;
    bool open; /* where a value goes to, or comes from, is not told by the
                  text alone */
};

/* Statements that LEAVES_POU or LEAVES_LOOP leads out of. */
struct region {
    const struct code_stmt *stmts;
    uint32_t n, leaves;
};

static void read_stmts(struct reader *r, const struct frame *frame,
                       const struct around *around,
                       const struct code_stmt *stmts, uint32_t n);
static void read_region(struct reader *r, const struct frame *frame,
                        const struct around *around,
                        const struct region *region);
static void read_expr(struct reader *r, const struct frame *frame,
                      const struct around *around,
                      const struct code_expr *expr);

static uint64_t place_of(const struct code_stmt *stmt, uint32_t base)
{
    return hash_word((uint64_t)(uintptr_t)stmt + base) % BUCKETS;
}

static struct row *find(const struct targets *targets,
                        const struct code_stmt *stmt, uint32_t base)
{
    struct row *row = targets->bucket[place_of(stmt, base)];

    while (row && (row->stmt != stmt || row->base != base))
        row = row->next;
    return row;
}

static struct row *row_of(struct reader *r, const struct code_stmt *stmt,
                          uint32_t base)
{
    struct row **bucket = &r->targets->bucket[place_of(stmt, base)];
    struct row *row = find(r->targets, stmt, base);

    if (row)
        return row;
    row = ARENA_NEW(r->arena, struct row);
    row->stmt = stmt;
    row->base = base;
    row->slot = arena_array(r->arena, r->model->n_slots + 1, sizeof(bool));
    row->next = *bucket;
    row->after = r->targets->all;
    *bucket = r->targets->all = row;
    return row;
}

static void add(const struct around *around, uint32_t slot)
{
    for (; around; around = around->outer)
        around->row->slot[slot] = true;
}

static void add_frame(const struct around *around, uint32_t base,
                      uint32_t size)
{
    for (uint32_t i = 0; i < size; i++)
        add(around, base + i);
}

static void note_site(const struct around *around, uint32_t site)
{
    for (; around && site != CODE_NO_SITE; around = around->outer)
        around->row->list.fails = true;
}

/* Only what is computed can leave its type. */
static bool computes(enum code_op op)
{
    return (op >= CODE_NEGATE && op <= CODE_MOD) || op == CODE_STANDARD ||
           op == CODE_CONVERT;
}

/* ---- the text ---- */

static bool calls(const struct code_expr *expr)
{
    return expr && (expr->op == CODE_CALL || calls(expr->left) ||
                    calls(expr->right));
}

/* A call behind it may change what a whole array or structure was read
 * from. */
static void note_order(struct reader *r, const struct code_arg *args,
                       uint32_t n)
{
    bool whole = false, call = false;

    for (uint32_t i = 0; i < n; i++) {
        whole = whole || (args[i].kind == ARG_INPUT &&
                          !type_elementary(args[i].target_type));
        call = call || calls(args[i].value);
    }
    r->open = r->open || (whole && call);
}

static void add_target(struct reader *r, const struct frame *frame,
                       const struct around *around,
                       const struct code_variable *target,
                       const struct type *type)
{
    r->open = r->open || target->n_steps > 0;
    add_frame(around, eval_slot(frame, target), type->size);
}

/* A call as it is written. */
struct call {
    const struct code_pou *pou;
    uint32_t base;
    const struct code_arg *args;
    uint32_t n_args;
};

/* The frame of the callee; what its VAR_IN_OUT stand for. */
static struct frame enter(struct reader *r, const struct frame *caller,
                          const struct call *call)
{
    int64_t *in_out = arena_array(r->arena, call->pou->n_in_out,
                                  sizeof *in_out);

    for (uint32_t i = 0; i < call->n_args; i++)
        if (call->args[i].kind == ARG_IN_OUT)
            in_out[call->args[i].parameter] =
                eval_slot(caller, &call->args[i].target);
    return (struct frame){.base = call->base, .in_out = in_out};
}

static void read_args(struct reader *r, const struct frame *caller,
                      const struct around *around, const struct call *call)
{
    note_order(r, call->args, call->n_args);
    for (uint32_t i = 0; i < call->n_args; i++) {
        const struct code_arg *arg = &call->args[i];

        note_site(around, arg->site);
        if (arg->kind == ARG_INPUT) {
            read_expr(r, caller, around, arg->value);
            add_frame(around, call->base + arg->parameter,
                      arg->target_type->size);
        } else {
            add_target(r, caller, around, &arg->target, arg->target_type);
        }
    }
}

static void read_call(struct reader *r, const struct frame *caller,
                      const struct around *around, const struct call *call)
{
    const struct code_pou *pou = call->pou;
    const struct frame callee = enter(r, caller, call);

    read_args(r, caller, around, call);
    /* What a call sets to its initial value, and hidden memory. */
    if (pou->kind == POU_FUNCTION || pou->standard != STANDARD_NONE)
        add_frame(around, callee.base, pou->size);
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].temp)
            add_frame(around, callee.base + pou->vars[i].offset,
                      code_var_size(&pou->vars[i]));
    if (pou->standard == STANDARD_NONE)
        read_region(r, &callee, around, &(struct region){
                        pou->body, pou->n_body, LEAVES_POU});
}

static bool has_call(const struct code_expr *expr)
{
    return expr && (expr->op == CODE_CALL || has_call(expr->left) ||
                    has_call(expr->right));
}

static void read_expr(struct reader *r, const struct frame *frame,
                      const struct around *around,
                      const struct code_expr *expr)
{
    if (!expr || ++r->visits > MOST_VISITS)
        return;
    r->open = r->open || expr->variable.n_steps > 0;
    if (computes(expr->op))
        note_site(around, expr->site);
    /* What such a call writes would lean on the left side. */
    if ((expr->op == CODE_AND_THEN || expr->op == CODE_OR_ELSE) &&
        has_call(expr->right))
        r->visits = MOST_VISITS + 1;
    read_expr(r, frame, around, expr->left);
    read_expr(r, frame, around, expr->right);
    for (uint32_t i = 0; (expr->op == CODE_STANDARD || expr->op == CODE_ANY) &&
                         i < expr->n_args; i++)
        read_expr(r, frame, around, expr->args[i].value);
    if (expr->op == CODE_CALL)
        read_call(r, frame, around,
                  &(struct call){expr->pou, expr->pou->frame, expr->args,
                                 expr->n_args});
}

/* What a FOR does besides its body. */
static void read_count(struct reader *r, const struct frame *frame,
                       const struct around *around,
                       const struct code_stmt *stmt)
{
    const struct code_loop *loop = stmt->loop;

    read_expr(r, frame, around, loop->to);
    read_expr(r, frame, around, loop->by);
    note_site(around, loop->start_site);
    note_site(around, loop->step_site);
    note_site(around, loop->count_site);
    add(around, eval_slot(frame, &stmt->target));
}

static void read_branches(struct reader *r, const struct frame *frame,
                          const struct around *outer,
                          const struct code_stmt *stmt)
{
    const struct around around = {row_of(r, stmt, frame->base), outer};

    read_expr(r, frame, &around, stmt->value);
    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        const struct code_branch *branch = &stmt->branches[i];

        read_expr(r, frame, &around, branch->condition);
        read_stmts(r, frame, &around, branch->body, branch->n_body);
    }
}

/* Every statement that can lead away is around all of the region: what it
 * does decides whether the others run, in a loop also those before it.  What
 * leaves a loop decides about a RETURN in it, too. */
static const struct around *leavers(struct reader *r,
                                    const struct frame *frame,
                                    const struct around *around,
                                    const struct region *region)
{
    for (uint32_t i = 0; i < region->n; i++) {
        const struct code_stmt *stmt = &region->stmts[i];
        struct around *more;
        struct region inner = {
            NULL, 0, region->leaves |
                         (stmt->kind >= CODE_FOR ? LEAVES_LOOP : 0u)};

        if (!(stmt->leaves & region->leaves) || stmt->n_branches == 0 ||
            ++r->visits > MOST_VISITS)
            continue;
        more = ARENA_NEW(r->arena, struct around);
        *more = (struct around){row_of(r, stmt, frame->base), around};
        around = more;
        for (uint32_t k = 0; k < stmt->n_branches; k++) {
            inner.stmts = stmt->branches[k].body;
            inner.n = stmt->branches[k].n_body;
            around = leavers(r, frame, around, &inner);
        }
    }
    return around;
}

/* What leaves a loop decides about its condition and its control variable as
 * well. */
static void read_loop(struct reader *r, const struct frame *frame,
                      const struct around *outer,
                      const struct code_stmt *stmt)
{
    const struct around own = {row_of(r, stmt, frame->base), outer};
    const struct code_branch *body = &stmt->branches[0];
    const struct region region = {body->body, body->n_body, LEAVES_LOOP};
    const struct around *around = leavers(r, frame, &own, &region);

    read_expr(r, frame, around, stmt->value);
    if (stmt->kind == CODE_FOR)
        read_count(r, frame, around, stmt);
    note_site(around, stmt->site);
    read_stmts(r, frame, around, body->body, body->n_body);
}

static void read_region(struct reader *r, const struct frame *frame,
                        const struct around *around,
                        const struct region *region)
{
    read_stmts(r, frame, leavers(r, frame, around, region), region->stmts,
               region->n);
}

static void read_stmt(struct reader *r, const struct frame *frame,
                      const struct around *around,
                      const struct code_stmt *stmt)
{
    switch (stmt->kind) {
    case CODE_ASSIGN:
        read_expr(r, frame, around, stmt->value);
        note_site(around, stmt->site);
        add_target(r, frame, around, &stmt->target, stmt->target_type);
        break;
    case CODE_FOR:
    case CODE_WHILE:
    case CODE_REPEAT:
        read_loop(r, frame, around, stmt);
        break;
    case CODE_EXIT:
    case CODE_CONTINUE:
    case CODE_RETURN:
        break;
    case CODE_INVOKE:
        r->open = r->open || stmt->instance.n_steps > 0;
        read_call(r, frame, around,
                  &(struct call){stmt->pou,
                                 eval_slot(frame, &stmt->instance),
                                 stmt->args, stmt->n_args});
        break;
    default:
        read_branches(r, frame, around, stmt);
        break;
    }
}

static void read_stmts(struct reader *r, const struct frame *frame,
                       const struct around *around,
                       const struct code_stmt *stmts, uint32_t n)
{
    for (uint32_t i = 0; i < n && ++r->visits <= MOST_VISITS; i++)
        read_stmt(r, frame, around, &stmts[i]);
}

static void read_body(struct reader *r, const struct body *body)
{
    const struct frame none = {0};

    read_stmts(r, &none, NULL, body->stmts, body->n_stmts);
}

static void read_model(struct reader *r)
{
    const struct model *model = r->model;

    for (uint32_t i = 0; i < model->n_programs; i++) {
        const struct program *program = &model->programs[i];
        const struct frame frame = {.base = program->frame};

        read_region(r, &frame, NULL, &(struct region){
                        program->pou->body, program->pou->n_body,
                        LEAVES_POU});
    }
    read_body(r, &model->wiring_in);
    read_body(r, &model->wiring_out);
    for (uint32_t i = 0; i < model->n_mechanisms; i++)
        read_body(r, &model->mechanisms[i]);
    for (uint32_t i = 0; i < model->n_recorders; i++)
        read_body(r, &model->recorders[i]);
}

/* Functions called from expressions that stand in no statement. */
static void read_rest(struct reader *r)
{
    const struct model *model = r->model;
    const struct frame none = {0};

    for (uint32_t i = 0; i < model->n_movements; i++)
        read_expr(r, &none, NULL, model->movements[i].condition);
    for (uint32_t i = 0; i < model->n_sensors; i++) {
        read_expr(r, &none, NULL, model->sensors[i].on_when);
        read_expr(r, &none, NULL, model->sensors[i].on_when_previous);
        read_expr(r, &none, NULL, model->sensors[i].displaced);
    }
    for (uint32_t i = 0; i < model->n_assumptions; i++)
        read_expr(r, &none, NULL, model->assumptions[i].condition);
    for (uint32_t i = 0; i < model->n_clocks; i++)
        read_expr(r, &none, NULL, model->clocks[i].held);
    for (uint32_t i = 0; i < model->n_requirements; i++) {
        const struct requirement *asked = &model->requirements[i];

        read_expr(r, &none, NULL, asked->a);
        read_expr(r, &none, NULL, asked->b);
        read_expr(r, &none, NULL, asked->c);
        read_expr(r, &none, NULL, asked->a_previous);
        for (uint32_t k = 0; k < asked->n_started_by; k++)
            read_expr(r, &none, NULL, asked->started_by[k]);
        for (uint32_t k = 0; k < asked->n_cancelled_by; k++)
            read_expr(r, &none, NULL, asked->cancelled_by[k]);
        for (uint32_t k = 0; k < asked->n_triggers; k++)
            read_expr(r, &none, NULL, asked->triggers[k].condition);
    }
    read_expr(r, &none, NULL, model->noticing.diagnostic);
    read_expr(r, &none, NULL, model->noticing.demand);
    read_expr(r, &none, NULL, model->noticing.cycle);
    read_expr(r, &none, NULL, model->noticing.repair);
}

static void list(struct reader *r, struct row *row)
{
    uint32_t *slots = arena_array(r->arena, r->model->n_slots + 1,
                                  sizeof *slots);

    for (uint32_t i = 0; i < r->model->n_slots; i++)
        if (row->slot[i])
            slots[row->list.n++] = i;
    row->list.slots = slots;
}

const struct targets *targets_new(struct arena *arena,
                                  const struct model *model)
{
    struct targets *targets = ARENA_NEW(arena, struct targets);
    struct reader reader = {.arena = arena, .model = model,
                            .targets = targets};

    read_model(&reader);
    read_rest(&reader);
    if (reader.open || reader.visits > MOST_VISITS)
        return NULL;
    for (struct row *row = targets->all; row; row = row->after)
        list(&reader, row);
    return targets;
}

const struct target_list *targets_of(const struct targets *targets,
                                     const struct code_stmt *stmt,
                                     uint32_t base)
{
    const struct row *row = find(targets, stmt, base);

    ENSURE(row);
    return &row->list;
}

bool targets_fails(const struct code_expr *expr)
{
    if (!expr)
        return false;
    if (computes(expr->op) && expr->site != CODE_NO_SITE)
        return true;
    for (uint32_t i = 0; (expr->op == CODE_STANDARD || expr->op == CODE_ANY) &&
                         i < expr->n_args; i++)
        if (targets_fails(expr->args[i].value))
            return true;
    return targets_fails(expr->left) || targets_fails(expr->right);
}
