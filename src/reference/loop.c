#include "reference/loop.h"

#include "base/ensure.h"
#include "reference/eval.h"
#include "reference/guards.h"
#include "reference/maker.h"
#include "reference/signal.h"
#include "reference/tracing.h"

/* One execution of a loop. */
struct loop {
    struct scan *scan;
    struct frame *frame; /* its own, `any` moves with the passes */
    const struct code_stmt *stmt;
    uint32_t any; /* of the text around it */
    int64_t to, by; /* FOR */
    uint32_t depth; /* of the observer's stack */
};

/* Gives the control variable a value; the site is for one that does not
 * fit. */
static void count(const struct loop *loop, int64_t value, uint32_t site,
                  struct trace_event event)
{
    const struct type *type = loop->stmt->target_type;
    uint32_t slot = eval_slot(loop->frame, &loop->stmt->target);

    if (loop->scan->failed)
        return;
    if (value < type->low || value > type->high) {
        scan_fail(loop->scan, site);
        return;
    }
    signal_set_slot(loop->scan, slot, value);
    tracing_event(loop->scan, slot,
                  event.kind == TRACE_COUNT ? TRACING_NO_NODE : loop->depth,
                  event);
}

static void begin_for(struct loop *loop)
{
    const struct code_loop *of = loop->stmt->loop;
    int64_t from = eval(loop->scan, loop->frame, loop->stmt->value);

    loop->to = eval(loop->scan, loop->frame, of->to);
    loop->by = of->by ? eval(loop->scan, loop->frame, of->by) : 1;
    if (!loop->scan->failed && loop->by == 0)
        scan_fail(loop->scan, of->step_site);
    count(loop, from, of->start_site,
          (struct trace_event){.kind = TRACE_ASSIGN, .span = of->head});
}

/* The value at the end of a pass may lie outside of 64 bits. */
static void count_on(struct loop *loop)
{
    const struct code_loop *of = loop->stmt->loop;
    int64_t next;

    if (loop->scan->failed)
        return;
    if (__builtin_add_overflow(
            signal_slot(loop->scan,
                        eval_slot(loop->frame, &loop->stmt->target)),
            loop->by, &next))
        scan_fail(loop->scan, of->count_site);
    else
        count(loop, next, of->count_site,
              (struct trace_event){.kind = TRACE_COUNT, .span = of->head});
}

/* Behind the last pass: back to what it was in it. */
static void count_back(struct loop *loop)
{
    const struct code_loop *of = loop->stmt->loop;
    int64_t now = signal_slot(loop->scan, eval_slot(loop->frame,
                                                    &loop->stmt->target));

    if (of->asks && maker_choice(loop->scan, SETTING_LOOPS) == 1)
        count(loop, now - loop->by, CODE_NO_SITE,
              (struct trace_event){.kind = TRACE_COUNT, .span = of->head});
}

/* Is there one more pass? */
static bool again(const struct loop *loop, uint32_t passes)
{
    const struct code_stmt *stmt = loop->stmt;
    int64_t value;

    if (stmt->kind == CODE_REPEAT && passes == 0)
        return true;
    if (stmt->kind != CODE_FOR) {
        value = eval(loop->scan, loop->frame, stmt->value);
        return (value != 0) == (stmt->kind == CODE_WHILE);
    }
    value = eval(loop->scan, loop->frame, stmt->loop->counter);
    return loop->by > 0 ? value <= loop->to : value >= loop->to;
}

static void take_pass(struct loop *loop, bool taken)
{
    const struct code_branch *body = &loop->stmt->branches[0];

    guards_enter(loop->scan, loop->frame->base, loop->stmt, taken ? 0 : 1,
                 loop->depth);
    if (taken && body->branch != CODE_NO_SITE)
        loop->scan->branch[body->branch] = true;
}

static enum leaving run_passes(struct loop *loop, loop_body *body)
{
    const struct code_stmt *stmt = loop->stmt;
    struct scan *scan = loop->scan;
    enum leaving leaving = STAYED;

    for (uint32_t n = 0; !scan->failed && leaving < LEFT_LOOP; n++) {
        bool one_more;

        loop->frame->any = loop->any + stmt->any + n * stmt->any_stride;
        one_more = again(loop, n);

        if (scan->failed)
            break;
        if (one_more && n == stmt->loop->passes) {
            scan_fail(scan, stmt->site);
            break;
        }
        take_pass(loop, one_more);
        if (!one_more) {
            if (stmt->kind == CODE_FOR && n > 0)
                count_back(loop);
            break;
        }
        leaving = body(scan, loop->frame, stmt->branches[0].body,
                       stmt->branches[0].n_body);
        if (stmt->kind == CODE_FOR && leaving < LEFT_LOOP)
            count_on(loop);
    }
    return leaving == LEFT_POU ? LEFT_POU : STAYED;
}

/* The values from, to and by lie on the observer's stack until the first
 * pass. */
enum leaving loop_run(struct scan *scan, const struct frame *frame,
                      const struct code_stmt *stmt, loop_body *body)
{
    const struct trace_guard *outer = guards_now(scan);
    struct frame inner = *frame;
    struct loop loop = {.scan = scan, .frame = &inner, .stmt = stmt,
                        .any = frame->any,
                        .depth = tracing_depth(scan)};
    enum leaving leaving;

    if (stmt->kind == CODE_FOR)
        begin_for(&loop);
    leaving = run_passes(&loop, body);
    tracing_cut(scan, loop.depth);
    if (!stmt->leaves)
        guards_back(scan, outer);
    return leaving;
}
