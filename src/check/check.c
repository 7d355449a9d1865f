#include "check/check.h"

#include "check/advice/advice.h"
#include "check/bind.h"
#include "check/cause.h"
#include "check/choice.h"
#include "check/configuration.h"
#include "check/control.h"
#include "check/controller.h"
#include "check/draft.h"
#include "check/effect.h"
#include "check/elsewhere.h"
#include "check/expr.h"
#include "check/fault.h"
#include "check/lent.h"
#include "check/intended.h"
#include "check/machine.h"
#include "check/missing.h"
#include "check/need.h"
#include "check/noticing.h"
#include "check/overlap.h"
#include "check/partly.h"
#include "check/real.h"
#include "check/require.h"
#include "check/rhythm.h"
#include "check/scenario.h"
#include "check/signal.h"
#include "check/told.h"
#include "check/typing.h"
#include "check/unit.h"
#include "check/unknown.h"

enum { MOST_ROUNDS = 200 };

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
    unknown_mark(draft);
    control_declare(draft);
    typing_finish(draft);
    elsewhere_read(draft);
    control_bodies(draft);
    overlap_check(draft);
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
    if (draft->unlaid)
        return;
    fault_effects(draft);
    cause_declare(draft);
    signal_sensors(draft);
    effect_displaced(draft);
    bind_fixed(draft);
    machine_bodies(draft);
    bind_signals(draft);
    require_assumptions(draft);
    machine_recorders(draft);
    noticing_check(draft);
    require_all(draft);
    intended_read(draft);
    control_bodies(draft);
    partly_share(draft);
    bind_free(draft);
}

static const struct model *check_once(const struct check_context *context,
                                      const struct tree_run *run,
                                      struct widening *widening)
{
    struct draft draft;
    const struct model *model = NULL;

    draft_init(&draft, context->arena, context->names, context->sources,
               context->diags);
    draft.run = run;
    draft.widening = widening;
    widening->again = false;
    widening->bits = 0;
    widening->before = widening->open.n;
    draft.expr_check = expr_check;
    real_declare(&draft);
    draft.need = need_of(draft.arena, run);
    need_report(draft.need, run, draft.diags);
    if (diags_errors(draft.diags)) { /* what follows would only repeat it */
        draft_release(&draft);
        return NULL;
    }
    configuration_check(&draft);
    rhythm_scan(&draft);
    controller_read(&draft);
    check_control(&draft);
    if (!diags_errors(draft.diags) && !draft.unlaid && partly_ask(&draft)) {
        draft_release(&draft);
        return NULL; /* the review text may name what is new */
    }
    rhythm_runs(&draft);
    judge_power(&draft);
    if (!draft.unlaid)
        check_review(&draft);
    missing_report(&draft);
    control_finish(&draft);
    if (!diags_errors(draft.diags))
        lent_report(&draft);
    told_report(&draft);
    if (!diags_errors(draft.diags) && !draft.unlaid)
        partly_ask(&draft);
    if (!diags_errors(draft.diags))
        controller_slots(&draft);
    if (!diags_errors(draft.diags))
        choice_make(&draft);
    if (!diags_errors(draft.diags) && !widening->again)
        scenario_all(&draft);
    if (!diags_errors(draft.diags) && !widening->again)
        advice_collect(&draft);
    if (!diags_errors(draft.diags) && !widening->again) {
        draft_finish(&draft);
        model = draft.model;
    }
    draft_release(&draft);
    return model;
}

/* Each round leaves more open (wide.h); the last one says what is too much
 * all the same. */
const struct model *check_run(const struct check_context *context,
                              const struct tree_run *run)
{
    struct widening widening = {0};
    const struct model *model;
    unsigned rounds = 0;

    do {
        widening.closed = ++rounds >= MOST_ROUNDS;
        model = check_once(context, run, &widening);
    } while (!model && widening.again && !diags_errors(context->diags));
    vec_release(&widening.parts);
    vec_release(&widening.open);
    vec_release(&widening.few);
    vec_release(&widening.bounds);
    vec_release(&widening.held);
    vec_release(&widening.reals);
    return model;
}
