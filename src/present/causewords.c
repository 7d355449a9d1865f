#include "present/causewords.h"

#include "base/text.h"
#include "check/model.h"
#include "present/noticewords.h"

/* ---- the line of a verdict ---- */

static void add_faults(struct text *out, const struct model *model,
                       const struct requirement *requirement)
{
    uint32_t allowed = 0;

    for (uint32_t c = 0; c < model->n_causes; c++)
        allowed += requirement->despite_of != NULL &&
                   requirement->despite_of[c];
    if (requirement->despite == 0)
        text_add(out, "without faults");
    else if (allowed == 1)
        text_add(out, "one fault");
    else if (requirement->despite == 1)
        text_printf(out, "any one of %u faults", allowed);
    else
        text_printf(out, "any %u of %u faults", requirement->despite,
                    allowed);
}

/* Left out as a cause: may a fault of it be there all the same, following
 * from one that is not? */
static bool may_follow(const struct model *model,
                       const struct requirement *requirement, uint32_t cause)
{
    for (uint32_t f = 0; f < model->n_faults; f++)
        for (uint32_t i = 1; i < model->faults[f].n_causes; i++)
            if (model->faults[f].cause == cause &&
                requirement->despite_of[model->faults[f].causes[i]])
                return true;
    return false;
}

static void add_left_out(struct text *out, const struct model *model,
                         const struct requirement *requirement)
{
    bool first = true;

    for (uint32_t c = 0; c < model->n_causes; c++) {
        if (requirement->despite == 0 || requirement->despite_of[c])
            continue;
        text_printf(out, "%s%s%s", first ? " · left out: " : ", ",
                    model->causes[c].name->spelling,
                    may_follow(model, requirement, c) ? " alone" : "");
        first = false;
    }
}

void causewords_despite(struct text *out, const struct model *model,
                        const struct requirement *requirement)
{
    add_faults(out, model, requirement);
    noticewords_condition(out, requirement);
    add_left_out(out, model, requirement);
}

/* ---- the conditions ---- */

static void add_timing(struct text *out, const struct model *model,
                       enum fault_timing timing)
{
    static const char *const headings[] = {
        [TIMING_PERMANENT] = "faults that may appear at any moment and stay",
        [TIMING_INTERMITTENT] = "faults that may come and go",
        [TIMING_FROM_POWER_UP] = "faults that are there from power-up on or "
                                 "never"};
    uint32_t n = 0;

    for (uint32_t f = 0; f < model->n_faults; f++) {
        const struct fault *fault = &model->faults[f];

        if (fault->excluded || fault->timing != timing)
            continue;
        if (n++ == 0)
            text_printf(out, "  %s: %s", headings[timing],
                        fault->name->spelling);
        else
            text_printf(out, ", %s", fault->name->spelling);
    }
    text_add(out, n > 0 ? "\n" : "");
}

static void add_group(struct text *out, const struct model *model,
                      const struct cause *cause)
{
    text_printf(out, "  %s (%s) counts as one fault:", cause->name->spelling,
                cause->title);
    for (uint32_t i = 0; i < cause->n_members; i++)
        text_printf(out, "%s %s", i > 0 ? "," : "",
                    model->faults[cause->members[i]].name->spelling);
    text_add(out, "\n");
}

/* All causes but the first are those of what it follows from. */
static void add_following(struct text *out, const struct model *model,
                          const struct fault *fault)
{
    if (fault->n_causes < 2)
        return;
    text_printf(out, "  %s follows from", fault->name->spelling);
    for (uint32_t i = 1; i < fault->n_causes; i++)
        text_printf(out, "%s %s", i > 1 ? "," : "",
                    model->causes[fault->causes[i]].name->spelling);
    text_add(out, " and is not counted once that has occurred\n");
}

static void add_excluded(struct text *out, const struct fault *fault)
{
    text_printf(out, "  excluded: %s %s, ", fault->name->spelling,
                fault->title);
    if (fault->because == NULL || *fault->because == '\0')
        text_add(out, "without a reason");
    else
        text_printf(out, "because %s", fault->because);
    if (fault->confirmed_by == NULL)
        text_add(out, ", not confirmed by anybody\n");
    else
        text_printf(out, ", confirmed by %s\n", fault->confirmed_by);
}

bool causewords_counting(struct text *out, const struct model *model)
{
    size_t start = out->n;

    for (uint32_t c = 0; c < model->n_causes; c++)
        if (model->causes[c].group)
            add_group(out, model, &model->causes[c]);
    for (uint32_t f = 0; f < model->n_faults; f++)
        add_following(out, model, &model->faults[f]);
    for (uint32_t f = 0; f < model->n_faults; f++)
        if (model->faults[f].excluded)
            add_excluded(out, &model->faults[f]);
    return out->n > start;
}

void causewords_conditions(struct text *out, const struct model *model)
{
    add_timing(out, model, TIMING_PERMANENT);
    add_timing(out, model, TIMING_INTERMITTENT);
    add_timing(out, model, TIMING_FROM_POWER_UP);
    causewords_counting(out, model);
}

/* ---- what happens ---- */

void causewords_change(struct text *out, const struct model *model,
                       uint32_t fault, bool present)
{
    const struct fault *what = &model->faults[fault];

    text_printf(out, "%s %s: %s\n",
                !present ? "no longer"
                : what->timing == TIMING_INTERMITTENT ? "for now"
                                                      : "from now on",
                what->name->spelling, what->title);
}
