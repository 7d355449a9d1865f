#include "check/anyrow.h"

#include <string.h>

#include "base/ensure.h"
#include "check/values.h"
#include "check/widening.h"

enum { MOST_ROWS = 4096 };

/* A place that stands for all places in the same words. */
struct shared {
    const struct code_expr *expr;
    uint32_t frame; /* of the program in which it stands */
    uint32_t row;
};

/* The places that one execution of a POU meets, in order. */
struct width {
    const struct code_pou *pou;
    uint32_t *places;
    uint32_t n;
};

/* The texts at hand are a stack: a body is numbered from 0, by itself, where
 * it is first called. */
struct numbering {
    struct draft *draft;
    VEC(struct shared) shared;
    VEC(struct width) widths;
    VEC(uint32_t) places; /* of the texts at hand, the inmost on top */
    size_t begin;         /* those of the inmost */
    uint32_t base;        /* added to their numbers */
    uint32_t frame;       /* of a program that is there once, 0 for review
                             texts, MODEL_NONE elsewhere */
    bool fixing; /* rows of shared places are given, nothing else */
    bool too_many;
};

/* ---- places in the same words ---- */

/* Do programs hold in every scan what the contacts give? */
static bool always_sampled(const struct draft *draft)
{
    for (size_t i = 0; i < draft->programs.n; i++)
        if (draft->programs.at[i].every > 1 || draft->programs.at[i].stops)
            return false;
    return !draft->model->power_may_fail;
}

/* Can nothing come between this contact and what it drives? */
static bool is_sound(const struct draft *draft, uint32_t contact)
{
    if (!always_sampled(draft))
        return false;
    for (size_t i = 0; i < draft->effects.n; i++) {
        const struct effect *effect = &draft->effects.at[i];

        if ((effect->target == AT_CONTACTS && contact >= effect->first &&
             contact < effect->first + effect->count) ||
            effect->kind == FAULT_SHORT_TO)
            return false;
    }
    return true;
}

/* What a scan reads here, by one number for all that have it always alike:
 * an input by its contact, if no fault comes between. */
static uint64_t thing_of(const struct draft *draft, uint32_t slot)
{
    const struct slot *row = &draft->slots.at[slot];

    return row->driver == DRIVER_CONTACT &&
                   is_sound(draft, row->driver_index)
               ? (uint64_t)DRAFT_MAX_SLOTS + row->driver_index
               : slot;
}

/* The slot that a variable always is, MODEL_NONE where it depends. */
static uint32_t slot_of(const struct code_expr *expr, uint32_t frame)
{
    if (expr->variable.n_steps)
        return MODEL_NONE;
    if (expr->variable.base == CODE_GLOBAL)
        return expr->variable.index;
    if (expr->variable.base == CODE_LOCAL && frame != MODEL_NONE)
        return frame + expr->variable.index;
    return MODEL_NONE;
}

static bool never_written(const struct draft *draft, uint32_t slot)
{
    const struct use *use;

    if (slot == MODEL_NONE)
        return false;
    use = &draft->uses.at[slot];
    return use->symbol && !use->written.file && !use->wired.file &&
           !draft->slots.at[slot].temp;
}

static bool only_inputs(const struct draft *draft,
                        const struct code_expr *expr, uint32_t frame)
{
    if (!expr || expr->op == CODE_CONST)
        return true;
    if (expr->op == CODE_VARIABLE)
        return expr->when == CODE_NOW &&
               never_written(draft, slot_of(expr, frame));
    if (expr->op == CODE_CONTACT)
        return expr->when == CODE_NOW && is_sound(draft, expr->index);
    if (expr->op == CODE_CALL || expr->op < CODE_NOT)
        return false;
    for (uint32_t i = 0; i < expr->n_args; i++)
        if (!only_inputs(draft, expr->args[i].value, frame))
            return false;
    return only_inputs(draft, expr->left, frame) &&
           only_inputs(draft, expr->right, frame);
}

static bool same_place(const struct draft *draft, const struct code_expr *a,
                       const struct code_expr *b)
{
    const struct open_place *left, *right;

    if (a->place == CODE_NO_SITE || b->place == CODE_NO_SITE)
        return a->place == b->place;
    left = &draft->open_places.at[a->place];
    right = &draft->open_places.at[b->place];
    return left->kind == right->kind && type_same(left->type, right->type) &&
           (left->kind == OPEN_ORDER || !strcmp(left->what, right->what));
}

/* Two comparisons of the same two REALs have one answer. */
static bool same_operator(const struct code_expr *a,
                          const struct code_expr *b)
{
    bool order = a->place != CODE_NO_SITE && a->op != CODE_ANY &&
                 b->place != CODE_NO_SITE && b->op != CODE_ANY &&
                 a->op != CODE_STANDARD && b->op != CODE_STANDARD;

    return order || a->op == b->op;
}

static bool is_leaf(const struct code_expr *expr)
{
    return expr->op == CODE_VARIABLE || expr->op == CODE_CONTACT;
}

static bool same_leaf(const struct draft *draft, const struct shared *a,
                      const struct shared *b)
{
    const struct shared *sides[2] = {a, b};
    uint64_t thing[2];

    for (int i = 0; i < 2; i++)
        thing[i] = sides[i]->expr->op == CODE_CONTACT
                       ? (uint64_t)DRAFT_MAX_SLOTS + sides[i]->expr->index
                       : thing_of(draft, slot_of(sides[i]->expr,
                                                 sides[i]->frame));
    return thing[0] == thing[1];
}

static bool same(const struct draft *draft, const struct shared *a,
                 const struct shared *b)
{
    const struct code_expr *x = a->expr, *y = b->expr;

    if (!x || !y)
        return x == y;
    if (is_leaf(x) && is_leaf(y))
        return same_leaf(draft, a, b);
    if (!same_operator(x, y) || !type_same(x->type, y->type) ||
        x->value != y->value || x->n_args != y->n_args ||
        !same_place(draft, x, y))
        return false;
    for (uint32_t i = 0; i < x->n_args; i++)
        if (!same(draft, &(struct shared){x->args[i].value, a->frame, 0},
                  &(struct shared){y->args[i].value, b->frame, 0}))
            return false;
    return same(draft, &(struct shared){x->left, a->frame, 0},
                &(struct shared){y->left, b->frame, 0}) &&
           same(draft, &(struct shared){x->right, a->frame, 0},
                &(struct shared){y->right, b->frame, 0});
}

static void push(struct numbering *n, uint32_t place)
{
    if (n->places.n < MOST_ROWS)
        vec_push(&n->places, place);
    else
        n->too_many = true;
}

static uint32_t next_row(const struct numbering *n)
{
    return n->base + (uint32_t)(n->places.n - n->begin);
}

static void fix(struct numbering *n, struct code_expr *expr)
{
    struct shared own = {expr, n->frame, next_row(n)};

    if (n->frame == MODEL_NONE ||
        n->draft->open_places.at[expr->place].apart ||
        !only_inputs(n->draft, expr, n->frame))
        return;
    expr->any_fixed = expr->any_known = true;
    for (size_t i = 0; i < n->shared.n; i++)
        if (same(n->draft, &n->shared.at[i], &own)) {
            expr->any = n->shared.at[i].row;
            return;
        }
    expr->any = own.row;
    vec_push(&n->shared, own);
    push(n, expr->place);
}

/* ---- walking ---- */

static void number_stmts(struct numbering *n, const struct code_stmt *stmts,
                         uint32_t count);
static void number(struct numbering *n, const struct code_expr *expr);
static void number_call(struct numbering *n, const struct code_pou *pou);

/* An index may be open. */
static void number_steps(struct numbering *n,
                         const struct code_variable *variable)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        number(n, variable->steps[i].value);
}

static void number_args(struct numbering *n, const struct code_arg *args,
                        uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        if (args[i].kind == ARG_INPUT)
            number(n, args[i].value);
        else
            number_steps(n, &args[i].target);
}

static void number_place(struct numbering *n, struct code_expr *expr)
{
    if (n->fixing) {
        fix(n, expr);
        return;
    }
    if (expr->any_known)
        return;
    expr->any_known = true;
    expr->any = next_row(n);
    push(n, expr->place);
}

/* The checker made the nodes; they are finished here. */
static void number(struct numbering *n, const struct code_expr *expr)
{
    struct code_expr *own = (struct code_expr *)expr;

    if (!expr)
        return;
    number_steps(n, &expr->variable);
    number(n, expr->left);
    number(n, expr->right);
    number_args(n, expr->args, expr->n_args);
    if (expr->place != CODE_NO_SITE)
        number_place(n, own);
    if (expr->op != CODE_CALL || n->fixing || expr->any_known)
        return;
    own->any_known = true;
    own->any = next_row(n);
    number_call(n, expr->pou);
}

/* What one pass may take, condition and body; numbered from 0. */
static void number_pass(struct numbering *n, const struct code_stmt *stmt)
{
    if (stmt->kind != CODE_FOR)
        number(n, stmt->value);
    number_stmts(n, stmt->branches[0].body, stmt->branches[0].n_body);
}

/* One more than its passes: the condition that ends it. */
static void number_loop(struct numbering *n, const struct code_stmt *stmt)
{
    struct code_stmt *own = (struct code_stmt *)stmt;
    size_t begin = n->begin, first = n->places.n;
    uint32_t base = n->base;

    if (stmt->kind == CODE_FOR) {
        number(n, stmt->value);
        number(n, stmt->loop->to);
        number(n, stmt->loop->by);
        first = n->places.n;
    }
    if (n->fixing) {
        number_pass(n, stmt);
        return;
    }
    own->any = next_row(n);
    n->begin = first;
    n->base = 0;
    number_pass(n, stmt);
    n->begin = begin;
    n->base = base;
    own->any_stride = (uint32_t)(n->places.n - first);
    if (own->any_stride && stmt->site != CODE_NO_SITE)
        widening_shorten(n->draft, stmt->loop->head);
    for (uint32_t pass = 0; pass < stmt->loop->passes && own->any_stride;
         pass++)
        for (uint32_t i = 0; i < own->any_stride; i++)
            push(n, n->places.at[first + i]);
}

static void number_stmt(struct numbering *n, const struct code_stmt *stmt)
{
    if (stmt->kind >= CODE_FOR && stmt->kind <= CODE_REPEAT) {
        number_loop(n, stmt);
        return;
    }
    number(n, stmt->value);
    number_steps(n, &stmt->target);
    number_steps(n, &stmt->instance);
    number_args(n, stmt->args, stmt->n_args);
    if (stmt->kind == CODE_INVOKE && !n->fixing) {
        ((struct code_stmt *)stmt)->any = next_row(n);
        number_call(n, stmt->pou);
    }
    for (uint32_t i = 0; i < stmt->n_branches; i++) {
        number(n, stmt->branches[i].condition);
        number_stmts(n, stmt->branches[i].body, stmt->branches[i].n_body);
    }
}

static void number_stmts(struct numbering *n, const struct code_stmt *stmts,
                         uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        number_stmt(n, &stmts[i]);
}

static const struct width *width_of(const struct numbering *n,
                                    const struct code_pou *pou)
{
    for (size_t i = 0; i < n->widths.n; i++)
        if (n->widths.at[i].pou == pou)
            return &n->widths.at[i];
    return NULL;
}

/* What was pushed since begin becomes the width of a POU. */
static void keep_width(struct numbering *n, const struct code_pou *pou)
{
    struct width width = {pou, NULL, (uint32_t)(n->places.n - n->begin)};

    width.places =
        arena_array(n->draft->arena, width.n, sizeof *width.places);
    for (uint32_t i = 0; i < width.n; i++)
        width.places[i] = n->places.at[n->begin + i];
    ((struct code_pou *)pou)->any_width = width.n;
    vec_push(&n->widths, width);
    n->places.n = n->begin;
}

/* A body is numbered from 0, by itself. */
static void number_pou(struct numbering *n, const struct code_pou *pou)
{
    size_t begin = n->begin;
    uint32_t base = n->base;

    if (width_of(n, pou))
        return;
    n->begin = n->places.n;
    n->base = 0;
    number_stmts(n, pou->body, pou->n_body);
    keep_width(n, pou);
    n->begin = begin;
    n->base = base;
}

static void number_call(struct numbering *n, const struct code_pou *pou)
{
    const struct width *width;

    number_pou(n, pou);
    width = width_of(n, pou);
    for (uint32_t i = 0; i < width->n; i++)
        push(n, width->places[i]);
}

/* ---- review texts ---- */

static void number_body(struct numbering *n, const struct body *body)
{
    number_stmts(n, body->stmts, body->n_stmts);
}

static void number_texts(struct numbering *n)
{
    const struct draft *draft = n->draft;

    number_body(n, &draft->model->wiring_in);
    number_body(n, &draft->model->wiring_out);
    for (size_t i = 0; i < draft->recorders.n; i++)
        number_body(n, &draft->recorders.at[i]);
    for (size_t i = 0; i < draft->clocks.n; i++)
        number(n, draft->clocks.at[i].held);
}

static void number_requirement(struct numbering *n,
                               const struct requirement *row)
{
    number(n, row->a);
    number(n, row->b);
    number(n, row->c);
    number(n, row->a_previous);
    for (uint32_t i = 0; i < row->n_started_by; i++)
        number(n, row->started_by[i]);
    for (uint32_t i = 0; i < row->n_cancelled_by; i++)
        number(n, row->cancelled_by[i]);
    number(n, row->noticed);
    for (uint32_t i = 0; i < row->n_triggers; i++)
        number(n, row->triggers[i].condition);
}

/* These texts have no open places (abstract.h); what they call may. */
static void none_since(struct numbering *n, size_t before, struct span span,
                       const char *what)
{
    if (n->places.n != before && !n->fixing)
        diag_add(n->draft->diags, DIAG_ERROR, span,
                 "write out what it says in this text",
                 "%s cannot call what leaves a value open", what);
}

static void number_assumptions(struct numbering *n)
{
    for (size_t i = 0; i < n->draft->assumptions.n; i++) {
        const struct assumption *row = &n->draft->assumptions.at[i];
        size_t before = n->places.n;

        number(n, row->condition);
        none_since(n, before, row->span, "an assumption");
    }
}

static void number_mechanisms(struct numbering *n)
{
    const struct draft *draft = n->draft;

    for (size_t i = 0; i < draft->mechanisms.n; i++) {
        size_t before = n->places.n;

        number_body(n, &draft->mechanisms.at[i]);
        none_since(n, before, draft->mechanisms.at[i].span, "a MECHANISM");
    }
    for (size_t i = 0; i < draft->movements.n; i++) {
        size_t before = n->places.n;

        number(n, draft->movements.at[i].condition);
        none_since(n, before, draft->movements.at[i].span, "a movement");
    }
    for (size_t i = 0; i < draft->sensors.n; i++) {
        size_t before = n->places.n;

        number(n, draft->sensors.at[i].on_when);
        number(n, draft->sensors.at[i].on_when_previous);
        number(n, draft->sensors.at[i].displaced);
        none_since(n, before, draft->sensors.at[i].span, "ON WHEN");
    }
}

static void number_review(struct numbering *n)
{
    n->frame = 0;
    number_texts(n);
    number_mechanisms(n);
    for (size_t i = 0; i < n->draft->requirements.n; i++)
        number_requirement(n, &n->draft->requirements.at[i]);
    number(n, n->draft->model->noticing.diagnostic);
    number(n, n->draft->model->noticing.demand);
    number(n, n->draft->model->noticing.cycle);
    number(n, n->draft->model->noticing.repair);
    number_assumptions(n);
}

/* ---- programs ---- */

static bool runs_once(const struct draft *draft, const struct code_pou *pou)
{
    size_t times = 0;

    for (size_t i = 0; i < draft->programs.n; i++)
        times += draft->programs.at[i].pou == pou;
    return times == 1;
}

static void fix_programs(struct numbering *n)
{
    for (size_t i = 0; i < n->draft->programs.n; i++) {
        const struct program *program = &n->draft->programs.at[i];

        n->frame = runs_once(n->draft, program->pou) ? program->frame
                                                     : MODEL_NONE;
        number_stmts(n, program->pou->body, program->pou->n_body);
    }
}

static void number_programs(struct numbering *n)
{
    n->frame = MODEL_NONE;
    for (size_t i = 0; i < n->draft->n_running; i++) {
        struct program *program = &n->draft->programs.at[i];

        program->any = next_row(n);
        number_call(n, program->pou);
    }
}

/* ---- rows ---- */

static const char *words_of(struct draft *draft,
                            const struct open_place *place)
{
    unsigned line = draft_line(draft, place->span);

    if (place->unknown)
        return arena_printf(draft->arena, "what %s gives",
                            place->unknown->name->spelling);
    if (place->kind == OPEN_PICK)
        return arena_printf(draft->arena,
                            "what '%s' on line %u makes of not-a-number",
                            place->what, line);
    if (place->kind == OPEN_VALUE)
        return arena_printf(draft->arena, "the value of '%s' on line %u",
                            place->what, line);
    return arena_printf(draft->arena, "the comparison on line %u", line);
}

static void add_row(struct draft *draft, const struct flow *flow,
                    uint32_t number)
{
    const struct open_place *place = &draft->open_places.at[number];
    struct choice choice = {.kind = CHOICE_ANY,
                            .name = words_of(draft, place),
                            .of = number,
                            .type = place->type,
                            .span = place->span};

    values_of(draft, flow,
              place->kind == OPEN_VALUE ? flow_place(flow, number)
                                        : MODEL_NONE,
              &choice);
    choice.rest = 0;
    vec_push(&draft->choices, choice);
}

void anyrow_make(struct draft *draft, const struct flow *flow)
{
    struct numbering n = {.draft = draft,
                          .base = (uint32_t)draft->choices.n};

    n.fixing = true;
    fix_programs(&n);
    number_review(&n);
    n.fixing = false;
    number_programs(&n);
    number_review(&n);
    if (draft->widening && draft->widening->again)
        n.too_many = true; /* the next round has other rows */
    else if (n.too_many)
        diag_add(draft->diags, DIAG_ERROR,
                 draft->open_places.at[n.places.at[0]].span,
                 "review fewer of the blocks that compute with such values "
                 "at once",
                 "more than %d values and comparisons are left open",
                 MOST_ROWS);
    for (size_t i = 0; i < n.places.n && !n.too_many; i++)
        add_row(draft, flow, n.places.at[i]);
    vec_release(&n.shared);
    vec_release(&n.widths);
    vec_release(&n.places);
}
