#include "check/opentimer.h"

#include "check/abstract.h"
#include "check/arith.h"
#include "check/widening.h"
#include "check/written.h"

enum { MOST_ROWS = 32 };

/* What stands for the call, statement by statement. */
struct making {
    struct env *env;
    const struct found *found;
    struct span span;
    struct code_stmt *rows;
    uint32_t n;
    struct code_expr *limit; /* PT or PV as it is given, or NULL */
    bool good;
};

static bool is_timer(const struct code_pou *pou)
{
    return pou->standard >= STANDARD_TON && pou->standard <= STANDARD_TP;
}

static bool is_counter(const struct code_pou *pou)
{
    return pou->standard >= STANDARD_CTU && pou->standard <= STANDARD_CTUD;
}

static const struct type *type_at(const struct code_pou *pou,
                                  uint32_t offset)
{
    for (uint32_t i = 0; i < pou->n_vars; i++)
        if (pou->vars[i].offset == offset)
            return pou->vars[i].type;
    return NULL;
}

static void assign(struct making *m, struct code_variable target,
                   const struct type *type, struct code_expr *value)
{
    m->good = m->good && value && m->n < MOST_ROWS;
    if (!m->good)
        return;
    m->rows[m->n++] = (struct code_stmt){
        .kind = CODE_ASSIGN, .span = m->span, .target = target,
        .target_type = type, .value = value, .site = CODE_NO_SITE,
        .choice = MODEL_NONE};
}

/* The first one is made of the limit. */
static struct code_expr *any(struct making *m, const struct type *type)
{
    struct code_expr *limit = m->limit;

    m->limit = NULL;
    return abstract_any(m->env,
                        (struct open_place){
                            .kind = OPEN_VALUE,
                            .what = draft_words(m->env->draft, m->span),
                            .type = type,
                            .apart = true,
                            .span = m->span},
                        &limit, limit ? 1 : 0);
}

static struct code_expr *read_at(struct making *m,
                                 struct code_variable variable,
                                 const struct type *type)
{
    struct code_expr *expr =
        arith_new(m->env->draft, CODE_VARIABLE, type, m->span);

    expr->variable = variable;
    return expr;
}

/* Q of a timer: that of a TON needs IN, that of a TOF has it with IN. */
static struct code_expr *state(struct making *m, struct code_expr *q)
{
    enum code_standard kind = m->found->unit->pou->standard;
    const struct type *boolean = m->env->draft->types.boolean;
    struct code_expr *both;

    if (!q || (kind != STANDARD_TON && kind != STANDARD_TOF))
        return q;
    both = arith_new(m->env->draft, kind == STANDARD_TON ? CODE_AND : CODE_OR,
                     boolean, m->span);
    both->left = read_at(m, code_behind(m->found->variable, TIMER_IN),
                         boolean);
    both->right = q;
    return both;
}

static void leave_open(struct making *m, uint32_t offset)
{
    const struct type *type = type_at(m->found->unit->pou, offset);
    struct code_expr *value;

    if (!type)
        return;
    value = any(m, type->kind == TYPE_BOOL
                       ? type
                       : written_subrange(m->env->draft, type_base(type), 0,
                                          type_base(type)->high));
    if (is_timer(m->found->unit->pou) && offset == TIMER_Q)
        value = state(m, value);
    assign(m, code_behind(m->found->variable, offset), type, value);
}

static void outputs(struct making *m)
{
    if (is_timer(m->found->unit->pou)) {
        leave_open(m, TIMER_Q);
        leave_open(m, TIMER_ET);
        return;
    }
    leave_open(m, COUNTER_QU);
    leave_open(m, COUNTER_QD);
    leave_open(m, COUNTER_CV);
}

/* PT and PV are evaluated, and not kept. */
static void input(struct making *m, const struct code_arg *arg, bool count)
{
    struct code_expr *value = (struct code_expr *)arg->value;

    if (arg->parameter == (count ? (uint32_t)COUNTER_PV
                                 : (uint32_t)TIMER_PT)) {
        m->limit = value;
        return;
    }
    assign(m, code_behind(m->found->variable, arg->parameter),
           arg->target_type, value);
    if (m->good)
        m->rows[m->n - 1].site = arg->site;
}

static void output(struct making *m, const struct code_arg *arg)
{
    const struct type *type = type_at(m->found->unit->pou, arg->parameter);

    assign(m, arg->target, arg->target_type,
           read_at(m, code_behind(m->found->variable, arg->parameter),
                   type));
    if (m->good)
        m->rows[m->n - 1].site = arg->site;
}

/* One branch that is always taken, and no branch of the text. */
static void as_branch(struct making *m, struct code_stmt *out)
{
    struct draft *draft = m->env->draft;
    struct code_branch *row = ARENA_NEW(draft->arena, struct code_branch);

    row->condition =
        arith_constant(draft, draft->types.boolean, 1, m->span);
    row->body = m->rows;
    row->n_body = m->n;
    row->span = m->span;
    row->branch = CODE_NO_SITE;
    *out = (struct code_stmt){.kind = CODE_IF, .span = m->span,
                              .branches = row, .n_branches = 1,
                              .site = CODE_NO_SITE, .choice = MODEL_NONE};
}

/* Is a limit that this call gives to be left open? */
static bool gives_open(const struct draft *draft,
                       const struct code_stmt *call, bool count)
{
    for (uint32_t i = 0; i < call->n_args; i++)
        if (call->args[i].kind == ARG_INPUT &&
            call->args[i].parameter ==
                (count ? (uint32_t)COUNTER_PV : (uint32_t)TIMER_PT) &&
            widening_has(draft, call->args[i].value->span))
            return true;
    return false;
}

/* Comes to the same as often as it is evaluated, and leaves nothing open. */
static bool is_settled(const struct code_expr *expr)
{
    switch (expr->op) {
    case CODE_CONST: return true;
    case CODE_VARIABLE: return expr->variable.n_steps == 0;
    case CODE_CONVERT:
    case CODE_NEGATE: return is_settled(expr->left);
    case CODE_ADD:
    case CODE_SUB:
    case CODE_MUL:
    case CODE_DIV:
    case CODE_MOD: return is_settled(expr->left) && is_settled(expr->right);
    default: return false;
    }
}

static bool are_settled(const struct code_variable *variable)
{
    for (uint32_t i = 0; i < variable->n_steps; i++)
        if (!is_settled(variable->steps[i].value))
            return false;
    return true;
}

bool opentimer_call(struct env *env, const struct found *found,
                    struct code_stmt *out, bool *good)
{
    struct making m = {.env = env, .found = found, .span = out->span,
                       .good = true};
    bool count = is_counter(out->pou);
    bool known;

    if (env->text != TEXT_CONTROL || !found->symbol ||
        found->variable.base == CODE_IN_OUT ||
        !are_settled(&found->variable) ||
        (!count && !is_timer(out->pou)))
        return false;
    known = widening_has(env->draft, found->symbol->span);
    if (!known && gives_open(env->draft, out, count))
        widening_open(env->draft, found->symbol->span); /* all its calls */
    if (!known)
        return false;
    m.rows = arena_array(env->draft->arena, MOST_ROWS, sizeof *m.rows);
    for (uint32_t i = 0; i < out->n_args; i++)
        if (out->args[i].kind == ARG_INPUT)
            input(&m, &out->args[i], count);
    outputs(&m);
    for (uint32_t i = 0; i < out->n_args; i++)
        if (out->args[i].kind == ARG_OUTPUT)
            output(&m, &out->args[i]);
    as_branch(&m, out);
    *good = m.good;
    return true;
}

bool opentimer_lent(struct env *env, const struct found *found,
                    struct span span)
{
    if (!found->unit || !found->symbol ||
        (!is_timer(found->unit->pou) && !is_counter(found->unit->pou)) ||
        !widening_has(env->draft, found->symbol->span))
        return false;
    diag_add(env->draft->diags, DIAG_ERROR, span,
             "give its PT or PV a constant, or call it here alone",
             "'%s' is handed over, and its PT or PV can have too many values",
             found->symbol->name->spelling);
    return true;
}
