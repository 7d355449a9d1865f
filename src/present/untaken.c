#include "present/untaken.h"

#include <stdbool.h>

#include "base/text.h"
#include "check/model.h"
#include "present/conditions.h"
#include "present/quote.h"

/* What is told: those of one state. */
struct group {
    struct text *out;
    const struct model *model;
    const struct taken *taken;
    const struct sources *sources;
    const char *heading;
    bool held; /* and something may be written by others after all */
    uint32_t n;
};

/* " (with F3)": by which faults the shortest sequence gets there. */
static void add_causes(const struct group *group, const struct cause_set *by)
{
    for (uint32_t i = 0; i < by->n; i++)
        text_printf(group->out, "%s%s", i == 0 ? " (with " : ", ",
                    group->model->causes[by->causes[i]].name->spelling);
    if (by->n > 0)
        text_add(group->out, ")");
}

static void add_site(struct group *group, struct span span,
                     const struct cause_set *by)
{
    struct text *out = group->out;

    if (group->n++ == 0)
        text_printf(out, "%s%s\n", group->heading,
                    group->held ? ", as long as what is fixed stays as it "
                                  "begins"
                                : "");
    text_add(out, "  ");
    quote_place(out, group->sources, span);
    text_add(out, ": ");
    quote_span(out, group->sources, span);
    add_causes(group, by);
    text_add(out, "\n");
}

static uint32_t add_branches(struct group *group, enum branch_state state,
                             const char *heading)
{
    group->heading = heading;
    group->held = state == BRANCH_NEVER && conditions_held(group->model);
    group->n = 0;
    for (uint32_t b = 0; b < group->model->n_branches; b++)
        if (group->taken->branch[b] == state)
            add_site(group, group->model->branches[b].span,
                     &group->taken->branch_by[b]);
    return group->n;
}

/* What is the body of a branch is told of the branch. */
static uint32_t add_stretches(struct group *group, enum branch_state state,
                              const char *heading)
{
    const struct model *model = group->model;

    group->heading = heading;
    group->held = state == BRANCH_NEVER && conditions_held(group->model);
    group->n = 0;
    for (uint32_t s = 0; s < model->n_stretches; s++)
        if (group->taken->stretch[s] == state &&
            model->stretches[s].branch == MODEL_NONE &&
            model->stretches[s].n > 0)
            add_site(group, model->stretches[s].span,
                     &group->taken->stretch_by[s]);
    return group->n;
}

uint32_t untaken_add(struct text *out, const struct model *model,
                     const struct taken *taken,
                     const struct sources *sources)
{
    struct group group = {.out = out, .model = model, .taken = taken,
                          .sources = sources};
    uint32_t n = 0;

    n += add_branches(&group, BRANCH_NEVER,
                      taken->ends ? "Branches that nothing can reach, unless "
                                    "in a scan that ends in a run-time error"
                                  : "Branches that nothing can reach");
    n += add_branches(&group, BRANCH_WITH_FAULT,
                      "Branches that are reached only with a fault");
    n += add_branches(&group, BRANCH_TAKEN_OPEN,
                      "Branches that are reached with a fault; whether "
                      "without one is not known");
    n += add_branches(&group, BRANCH_NOT_KNOWN,
                      "Branches for which it is not known whether "
                      "anything reaches them");
    n += add_stretches(&group, BRANCH_NEVER,
                       taken->ends
                           ? "Statements, and those behind them, that nothing "
                             "can reach, unless in a scan that ends in a "
                             "run-time error"
                           : "Statements, and those behind them, that nothing "
                             "can reach");
    n += add_stretches(&group, BRANCH_WITH_FAULT,
                       "Statements, and those behind them, that are reached "
                       "only with a fault");
    n += add_stretches(&group, BRANCH_TAKEN_OPEN,
                       "Statements, and those behind them, that are reached "
                       "with a fault; whether without one is not known");
    n += add_stretches(&group, BRANCH_NOT_KNOWN,
                       "Statements, and those behind them, for which it is "
                       "not known whether anything reaches them");
    return n;
}

/* ---- how many ---- */

static uint32_t statements(const struct model *model,
                           const struct taken *taken, enum branch_state state)
{
    uint32_t n = 0;

    for (uint32_t s = 0; s < model->n_stretches; s++)
        if (taken->stretch[s] == state)
            n += model->stretches[s].n;
    return n;
}

void untaken_count(struct text *out, const struct model *model,
                   const struct taken *taken)
{
    uint32_t plain = statements(model, taken, BRANCH_TAKEN);
    uint32_t fault = statements(model, taken, BRANCH_WITH_FAULT);
    uint32_t open = statements(model, taken, BRANCH_TAKEN_OPEN);
    uint32_t never = statements(model, taken, BRANCH_NEVER);
    uint32_t unknown = statements(model, taken, BRANCH_NOT_KNOWN);
    uint32_t reached = plain + fault + open, all = reached + never + unknown;

    if (all == 0)
        return;
    if (reached == all && all == 1)
        text_add(out, "The one statement of the control text is reached");
    else if (reached == all)
        text_printf(out, "All %u statements of the control text are reached",
                    (unsigned)all);
    else
        text_printf(out, "%u of %u statements of the control text are "
                         "reached", (unsigned)reached, (unsigned)all);
    if (fault > 0)
        text_printf(out, ", %u of them only with a fault", (unsigned)fault);
    if (open > 0)
        text_printf(out, ", %u of them with a fault and perhaps without",
                    (unsigned)open);
    if (never > 0)
        text_printf(out, "; nothing reaches %u%s", (unsigned)never,
                    taken->ends ? ", unless in a scan that ends in a run-time "
                                  "error" : "");
    if (unknown > 0)
        text_printf(out, "; of %u it is not known", (unsigned)unknown);
    if (model->n_causes > 0 && taken->faults == 1)
        text_add(out, " (looked at with any one of the declared faults)");
    else if (model->n_causes > 0 && taken->faults > 1)
        text_printf(out, " (looked at with any %u of the declared faults)",
                    (unsigned)taken->faults);
    text_add(out, ".\n");
}
