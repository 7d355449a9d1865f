#include "reference/notice.h"

#include <stddef.h>

#include "reference/eval.h"
#include "reference/tracing.h"

static bool has_occurred(const struct scan *scan, uint32_t cause, bool now)
{
    const int64_t *state = now ? scan->now : scan->before;

    return state[layout_at(scan->layout, PLACE_CAUSE, cause)] != 0;
}

bool notice_fault(const struct scan *scan, const struct requirement *asked)
{
    for (uint32_t i = 0; i < scan->model->n_causes; i++)
        if (asked->despite_of[i] && has_occurred(scan, i, true))
            return true;
    return false;
}

bool notice_appears(const struct scan *scan, const struct requirement *asked)
{
    for (uint32_t i = 0; i < scan->model->n_causes; i++)
        if (asked->despite_of[i] && has_occurred(scan, i, true) &&
            !has_occurred(scan, i, false))
            return true;
    return false;
}

/* ---- the section ---- */

struct look {
    bool shown, demand, cycle, repair;
};

/* All are evaluated, whether the others need them or not. */
static struct look look_at(struct scan *scan)
{
    const struct noticing *said = &scan->model->noticing;
    uint32_t depth = tracing_depth(scan);
    struct look look = {
        .shown = eval_review(scan, said->diagnostic),
    };

    look.demand = eval_review(scan, said->demand);
    look.cycle = said->cycle != NULL && eval_review(scan, said->cycle);
    look.repair = said->repair != NULL && eval_review(scan, said->repair);
    tracing_cut(scan, depth);
    return look;
}

/* Was any fault of the cause there at the previous judging? */
static bool was_there(const struct scan *scan, const struct cause *cause)
{
    for (uint32_t i = 0; i < cause->n_members; i++)
        if (scan_before(scan, PLACE_FAULT, cause->members[i]))
            return true;
    return false;
}

static bool all_were_there(const struct scan *scan)
{
    for (uint32_t i = 0; i < scan->setting->n_studied; i++)
        if (!was_there(scan, &scan->model->causes[scan->setting->studied[i]]))
            return false;
    return true;
}

static int64_t *memory(struct scan *scan, enum notice_memory which)
{
    return scan_now(scan, PLACE_NOTICE, which);
}

static void remember(struct scan *scan, const struct look *look)
{
    bool were_there = all_were_there(scan);
    int64_t *cycles = memory(scan, NOTICE_CYCLES);

    if (scan->dark) {
        *memory(scan, NOTICE_DEMANDED) = 0;
        *cycles = 0;
    } else if (were_there) {
        if (look->demand)
            *memory(scan, NOTICE_DEMANDED) = 1;
        if (look->cycle && *cycles < 2)
            ++*cycles;
        if (look->repair && *memory(scan, NOTICE_SHOWN))
            *memory(scan, NOTICE_REPAIRED) = 1;
    }
    *memory(scan, NOTICE_SHOWN) = look->shown;
}

static void show(struct scan *scan, const struct look *look)
{
    bool demanded = *memory(scan, NOTICE_DEMANDED) != 0;
    bool round = *memory(scan, NOTICE_CYCLES) >= 2;
    bool excused = look->shown || *memory(scan, NOTICE_REPAIRED) != 0;

    if (scan->dark)
        return;
    scan->notice[NOTICE_PASSED] = demanded && !excused;
    scan->notice[NOTICE_ROUND] = round && !excused;
    scan->notice[NOTICE_SEEN] = look->shown && all_were_there(scan);
    scan->notice[NOTICE_DEMAND] = demanded;
    scan->notice[NOTICE_CYCLE] = round;
}

void notice_judge(struct scan *scan)
{
    struct look look;

    if (scan->model->noticing.demand == NULL)
        return;
    look = look_at(scan);
    if (scan->failed || scan->setting->n_studied == 0)
        return;
    remember(scan, &look);
    show(scan, &look);
}
