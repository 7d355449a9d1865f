#include "lower/loop.h"

#include "lower/leave.h"
#include "lower/operate.h"
#include "lower/setting.h"
#include "lower/term.h"

/* Beyond these a scan is not unrolled: sym.h, too_long. */
enum { MOST_PASSES = 200000, MOST_NODES = 4000000 };

struct running {
    const struct loop_text *text;
    const struct code_stmt *stmt;
    struct nest nest;
    flat_expr to, by; /* FOR */
    uint32_t pass;
    uint32_t any; /* where open places begin outside */
};

static flat_expr eval(const struct running *r, const struct code_expr *expr)
{
    return r->text->eval(r->text->sym, r->text->frame, expr);
}

static void begin_for(struct running *r)
{
    struct sym *sym = r->text->sym;
    struct flat_builder *b = sym->builder;
    const struct code_loop *loop = r->stmt->loop;
    flat_expr from = eval(r, r->stmt->value), no_step;

    r->to = eval(r, loop->to);
    r->by = loop->by ? eval(r, loop->by) : flat_const(b, 1);
    no_step = term_equals(b, r->by, 0);
    sym_raise(sym, loop->step_site, no_step);
    if (loop->start_site != CODE_NO_SITE)
        sym_raise(sym, loop->start_site,
                  operate_outside(b, r->stmt->target_type, from));
    r->text->assign(sym, r->text->frame, r->stmt, from);
    if (loop->step_site != CODE_NO_SITE)
        nest_enter(sym, &r->nest, flat_not(b, no_step));
}

static flat_expr within_bounds(const struct running *r)
{
    struct flat_builder *b = r->text->sym->builder;
    flat_expr i = eval(r, r->stmt->loop->counter);
    flat_expr up = flat_binary(b, FLAT_LE, i, r->to);
    flat_expr down = flat_binary(b, FLAT_LE, r->to, i);
    flat_expr upwards = flat_binary(b, FLAT_LT, flat_const(b, 0), r->by);

    return flat_ite(b, upwards, up, down);
}

/* Does one more pass begin? */
static flat_expr goes_on(const struct running *r)
{
    struct flat_builder *b = r->text->sym->builder;

    switch (r->stmt->kind) {
    case CODE_FOR: return within_bounds(r);
    case CODE_WHILE: return eval(r, r->stmt->value);
    default:
        return r->pass == 0 ? term_true(b)
                            : flat_not(b, eval(r, r->stmt->value));
    }
}

/* Behind a pass, the last one too. */
static void count_on(const struct running *r)
{
    struct sym *sym = r->text->sym;
    const struct code_loop *loop = r->stmt->loop;
    const struct code_expr sum = {.op = CODE_ADD,
                                  .type = r->stmt->target_type};
    flat_expr i = eval(r, loop->counter);

    sym_raise(sym, loop->count_site,
              operate_error(sym->builder, &sum, i, r->by));
    r->text->assign(sym, r->text->frame, r->stmt,
                    flat_binary(sym->builder, FLAT_ADD, i, r->by));
}

/* Behind its last pass, where no further one begins, the variable may go back
 * to what it was in it. */
static void count_back(const struct running *r, flat_expr goes_on)
{
    struct sym *sym = r->text->sym;
    struct flat_builder *b = sym->builder;
    flat_expr back, i;

    if (!r->stmt->loop->asks || r->pass == 0)
        return;
    i = eval(r, r->stmt->loop->counter);
    back = term_less(b, setting_is(sym, SETTING_LOOPS, 1), goes_on);
    r->text->assign(sym, r->text->frame, r->stmt,
                    flat_ite(b, back, flat_binary(b, FLAT_SUB, i, r->by),
                             i));
}

/* What is written at all takes one pass, and all that are sure. */
static bool asked_enough(const struct running *r, flat_expr condition)
{
    const struct sym *sym = r->text->sym;

    return sym->env.written != NULL && r->pass > 0 &&
           !term_is(sym->builder, condition, 1) &&
           term_is(sym->builder, sym->path, 0);
}

static bool too_long(const struct running *r)
{
    struct sym *sym = r->text->sym;

    if (!sym->too_long && (++sym->passes > MOST_PASSES ||
                           flat_builder_count(sym->builder) > MOST_NODES))
        sym->too_long = r->stmt;
    return sym->too_long != NULL || sym->stopped;
}

/* One pass, if there is one more. */
static bool run_pass(struct running *r)
{
    struct sym *sym = r->text->sym;
    const struct code_branch *body = &r->stmt->branches[0];
    flat_expr condition;

    *r->text->any = r->any + r->stmt->any + r->pass * r->stmt->any_stride;
    condition = goes_on(r);

    if (r->stmt->kind == CODE_FOR)
        count_back(r, condition);
    if (!nest_enter(sym, &r->nest, condition) || asked_enough(r, condition))
        return false;
    if (r->pass == r->stmt->loop->passes) {
        sym_raise(sym, r->stmt->site, term_true(sym->builder));
        return false;
    }
    if (too_long(r))
        return false;
    sym_branch(sym, body->branch);
    r->text->run(sym, r->text->frame, body);
    leave_end(sym, LEAVE_CONTINUE);
    if (!leave_stay(sym, &r->nest))
        return false;
    if (r->stmt->kind == CODE_FOR)
        count_on(r);
    r->pass++;
    return true;
}

void loop_unfold(const struct loop_text *text, const struct code_stmt *stmt)
{
    struct running r = {.text = text, .stmt = stmt, .any = *text->any};

    nest_begin(text->sym, &r.nest);
    if (stmt->kind == CODE_FOR)
        begin_for(&r);
    while (run_pass(&r))
        ;
    nest_end(text->sym, &r.nest);
    leave_end(text->sym, LEAVE_EXIT);
}
