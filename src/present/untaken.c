#include "present/untaken.h"

#include "base/text.h"
#include "check/model.h"
#include "present/quote.h"

/* What is told: the branches of one state. */
struct group {
    const struct model *model;
    const enum branch_state *states;
    const struct sources *sources;
};

static uint32_t add_group(struct text *out, const struct group *group,
                          enum branch_state state, const char *heading)
{
    const struct model *model = group->model;
    uint32_t n = 0;

    for (uint32_t b = 0; b < model->n_branches; b++) {
        if (group->states[b] != state)
            continue;
        if (n++ == 0)
            text_printf(out, "%s\n", heading);
        text_add(out, "  ");
        quote_place(out, group->sources, model->branches[b].span);
        text_add(out, ": ");
        quote_span(out, group->sources, model->branches[b].span);
        text_add(out, "\n");
    }
    return n;
}

uint32_t untaken_add(struct text *out, const struct model *model,
                     const enum branch_state *states,
                     const struct sources *sources)
{
    const struct group group = {model, states, sources};
    uint32_t n = add_group(out, &group, BRANCH_NEVER,
                           "Branches that nothing can reach");

    n += add_group(out, &group, BRANCH_NEVER_JUDGED,
                   "Branches that nothing can reach, unless in a scan that "
                   "ends in a run-time error");
    return n + add_group(out, &group, BRANCH_NOT_KNOWN,
                         "Branches for which it is not known whether "
                         "anything reaches them");
}
