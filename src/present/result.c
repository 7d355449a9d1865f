#include "present/result.h"

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/conditions.h"
#include "present/remarks.h"
#include "present/templates.h"
#include "present/untaken.h"
#include "study/findings.h"

static void add_heading(struct text *out, const struct model *model)
{
    if (model->name == NULL)
        text_add(out, "Without knowledge of the machine: only run-time errors "
                      "and branches nothing can reach are judged\n\n");
    else
        text_printf(out, "%s%s%s\n\n", model->name,
                    model->title == NULL ? "" : ": ",
                    model->title == NULL ? "" : model->title);
}

static void add_errors(struct text *out, const struct view *view)
{
    const struct findings *findings = view->findings;

    for (uint32_t e = 0; e < findings->n_errors; e++)
        verdict_error(out, view, &findings->errors[e], e + 1);
    if (findings->n_errors > 0)
        text_add(out, "\n");
    else if (findings->model->name == NULL)
        text_printf(out, "No run-time error can occur%s.\n\n",
                    conditions_held(findings->model)
                        ? ", as long as what is fixed below stays as it "
                          "begins"
                        : "");
}

static void add_branches(struct text *out, const struct view *view)
{
    const struct findings *findings = view->findings;

    if (findings->taken == NULL)
        return;
    if (untaken_add(out, findings->model, findings->taken, view->sources) > 0)
        text_add(out, "\n");
}

static bool looked_at_all(enum verdict verdict)
{
    return verdict == VERDICT_KEPT || verdict == VERDICT_NOT_TESTED;
}

/* The largest part that a kept requirement reads, and the deepest. */
static void add_extent(struct text *out, const struct findings *findings)
{
    struct coverage most = {0};
    uint32_t n = 0;

    for (uint32_t i = 0; i < findings->n_requirements; i++) {
        const struct coverage *c = &findings->requirements[i].coverage;

        if (!looked_at_all(findings->requirements[i].verdict))
            continue;
        n++;
        if (c->situations > most.situations)
            most.situations = c->situations;
        if (c->levels > most.levels)
            most.levels = c->levels;
    }
    if (n == 0)
        return;
    text_printf(out, "Every reachable situation was looked at, for each %s"
                     "requirement in %s: at most ",
                n == findings->n_requirements ? "" : "kept ",
                findings->entire ? "the whole machine"
                                 : "the part that it reads");
    amount_add(out, most.situations);
    text_add(out, "; the farthest is ");
    amount_of(out, most.levels, "scan");
    text_add(out, " from power-up.\n");
}

static void add_engines(struct text *out, const struct view *view)
{
    if (!view->figures)
        return;
    text_add(out, "Of the questions to the engines, sets answered ");
    amount_add(out, view->findings->by_sets);
    text_add(out, " and tiles ");
    amount_add(out, view->findings->by_tiles);
    text_add(out, "; what is said is the same, whoever answers.\n");
}

void result_cautions(struct text *out)
{
    text_add(out,
        "Sequences are replayed by a second implementation, which shares "
        "only the reading of the texts.\n"
        "A design aid: it sees the logic and the wiring that was written "
        "down, no hydraulics, distances,\n"
        "stopping times or people it was not told of, and gives no "
        "performance level. Standards in force,\n"
        "local law, tests on the machine and the review of a competent "
        "person decide.\n");
}

void result_go_on(struct text *out, const struct view *view,
                  struct result_told *told)
{
    const struct findings *findings = view->findings;

    if (!told->begun) {
        if (!view->part)
            add_heading(out, findings->model);
        add_errors(out, view);
        told->begun = true;
    }
    for (; told->n_requirements < findings->n_requirements;
         told->n_requirements++) {
        verdict_requirement(out, view,
                            &findings->requirements[told->n_requirements]);
        text_add(out, "\n");
    }
}

void result_end(struct text *out, const struct view *view,
                struct result_told *told)
{
    const struct findings *findings = view->findings;

    result_go_on(out, view, told);
    for (uint32_t i = 0; i < findings->n_dead_ends; i++) {
        verdict_dead_end(out, view, &findings->dead_ends[i]);
        text_add(out, "\n");
    }
    add_branches(out, view);
    if (remarks_add(out, findings->model, view->sources, view->advice) > 0)
        text_add(out, "\n");
    if (templates_add(out, findings->model, view->sources) > 0)
        text_add(out, "\n");
    conditions_add(out, view);
    text_add(out, "\n");
    add_extent(out, findings);
    if (findings->taken != NULL)
        untaken_count(out, findings->model, findings->taken);
    add_engines(out, view);
    if (!view->part)
        result_cautions(out);
}

void result_add(struct text *out, const struct view *view)
{
    struct result_told told = {0};

    result_end(out, view, &told);
}
