#include "check/check.h"

#include "check/bind.h"
#include "check/choice.h"
#include "check/control.h"
#include "check/draft.h"
#include "check/fault.h"
#include "check/machine.h"
#include "check/require.h"
#include "check/scenario.h"
#include "check/signal.h"
#include "check/typing.h"
#include "check/unit.h"

enum { ASSUMED_SCAN = 100 };

static void judge_scan(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;
    struct model *model = draft->model;

    model->scan = ASSUMED_SCAN;
    model->scan_assumed = !review->name;
    if (!review->name)
        return;
    if (!review->scan) {
        diag_add(draft->diags, DIAG_ERROR, review->name->span,
                 "write the time of one scan, such as SCAN T#100ms;",
                 "the review text does not say how long a scan takes");
        return;
    }
    if (!typing_constant(draft, NULL, review->scan, draft->types.time,
                         &model->scan))
        model->scan = ASSUMED_SCAN;
    if (model->scan > 0)
        return;
    model->scan = ASSUMED_SCAN;
    diag_add(draft->diags, DIAG_ERROR, review->scan->span,
             "write the time that the controller takes for one scan, such "
             "as SCAN T#100ms;",
             "a scan takes more than no time");
}

static void judge_power(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;
    struct model *model = draft->model;

    for (size_t i = 0; i < draft->slots.n; i++)
        model->has_retain |= draft->slots.at[i].retain;
    model->power_may_fail =
        review->power == TREE_POWER_MAY_FAIL ||
        (review->power == TREE_POWER_UNSAID && model->has_retain);
    model->power_because = review->power_reason.because.at;
    model->power_confirmed_by = review->power_reason.confirmed_by.at;
    model->retain_any = review->retain_any;
}

static void check_control(struct draft *draft)
{
    typing_enter(draft);
    unit_enter(draft);
    control_declare(draft);
    typing_finish(draft);
    control_bodies(draft);
}

static void check_review(struct draft *draft)
{
    const struct tree_review *review = &draft->run->review;

    if (review->name) {
        draft->model->name = review->name->name->spelling;
        draft->model->title =
            review->title.at ? review->title.at : draft->model->name;
    }
    signal_declare(draft);
    fault_declare(draft);
    machine_declare(draft);
    signal_sensors(draft);
    bind_fixed(draft);
    machine_bodies(draft);
    bind_signals(draft);
    require_assumptions(draft);
    machine_recorders(draft);
    require_all(draft);
    control_bodies(draft);
    bind_free(draft);
}

const struct model *check_run(const struct check_context *context,
                              const struct tree_run *run)
{
    struct draft draft;
    const struct model *model = NULL;

    draft_init(&draft, context->arena, context->names, context->sources,
               context->diags);
    draft.run = run;
    judge_scan(&draft);
    check_control(&draft);
    judge_power(&draft);
    check_review(&draft);
    control_finish(&draft);
    if (!diags_errors(draft.diags))
        choice_make(&draft);
    if (!diags_errors(draft.diags))
        scenario_all(&draft);
    if (!diags_errors(draft.diags)) {
        draft_finish(&draft);
        model = draft.model;
    }
    draft_release(&draft);
    return model;
}
