#include "present/compared.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "present/amount.h"
#include "present/beside.h"
#include "present/reviewed.h"
#include "present/say.h"
#include "present/unmatched.h"
#include "reference/replay.h"
#include "study/became.h"
#include "study/compare.h"

/* ---- the answer ---- */

static const char *stop_words(enum stop_reason stop)
{
    switch (stop) {
    case STOP_SITUATIONS: return "the limit of situations was reached";
    case STOP_MEMORY: return "the limit of memory was reached";
    case STOP_SIGNAL: return "it was interrupted";
    case STOP_DEAD_END: return "the assumptions leave no way to go on";
    default: return "not everything was looked at";
    }
}

static void add_faults(struct text *out, uint32_t faults)
{
    if (faults == 1)
        text_add(out, "any one fault");
    else
        text_printf(out, "any %u faults", (unsigned)faults);
}

static void add_why_open(struct text *out, const struct comparison *c)
{
    const struct compared *open =
        c->unbroken.asked && c->unbroken.stop != STOP_NONE ? &c->unbroken
                                                           : &c->review;

    if (open->stop == STOP_NONE) {
        text_add(out, "whether an output differs before another one does "
                      "was too much\nto find out (see below).\n");
        return;
    }
    text_printf(out, "%s; ", stop_words(open->stop));
    amount_of(out, open->coverage.levels, "scan");
    text_add(out, " from power-up were looked at.\n");
}

static void add_different(struct text *out, const struct comparison *c)
{
    uint32_t sure = 0;

    for (uint32_t i = 0; i < c->n_differences; i++)
        sure += c->differences[i].intended == MODEL_NONE &&
                !c->differences[i].leans;
    if (sure == 0) {
        text_add(out, "NOT DECIDED whether they do the same: every "
                      "difference found leans on a value that is\nnot "
                      "followed.\n");
        return;
    }
    text_printf(out, "They do NOT do the same%s.  Behind the first%s"
                     "difference of an output that drives the machine%s"
                     "nothing is called the same.\n",
                c->was.model->n_intended > 0
                    ? ", beyond what is intended" : "",
                c->was.model->n_intended > 0 ? "\n" : " ",
                c->was.model->n_intended > 0 ? " " : "\n");
}

static void add_answer(struct text *out, const struct comparison *c)
{
    if (c->n_intended > 0 && c->sameness != SAME_DIFFERENT)
        text_add(out, "No difference beyond the intended ones was found, and "
                      "behind an intended difference of an\noutput that "
                      "drives the machine nothing is called the same.  Up to "
                      "there and but for them:\n");
    switch (c->sameness) {
    case SAME_READ:
        text_add(out, "The same for everything that can be read: whatever the "
                      "programs are given, in whatever\norder, both command "
                      "the same.  No machine and no assumption is needed for "
                      "this.\n");
        break;
    case SAME_REVIEW:
        text_add(out, "The same under this review: in every reachable "
                      "situation both command the same,\n");
        if (c->faults == 0) {
            text_add(out, "the review declares no fault.\n");
            break;
        }
        text_add(out, "with ");
        add_faults(out, c->faults);
        text_add(out, " of those declared, appearing at any moment.\n");
        break;
    case SAME_UNBROKEN:
        text_add(out, "The same as long as nothing breaks; with ");
        add_faults(out, c->faults);
        text_add(out, " NOT FINISHED:\n");
        add_why_open(out, c);
        break;
    case SAME_DIFFERENT:
        add_different(out, c);
        break;
    case SAME_NOT_KNOWN:
        text_add(out, "NOT FINISHED, no difference was found so far: ");
        add_why_open(out, c);
        break;
    }
    if (c->n_alone > 0)
        text_add(out, "Outputs that only one of both has were not compared: "
                      "see the names without a partner.\n");
    if (c->up_to_error)
        text_add(out, "All this counts up to a run-time error, which can be "
                      "reached in one of them (see below).\n");
}

/* ---- output by output ---- */

static const struct difference *difference_of(const struct comparison *c,
                                              uint32_t output, bool ahead)
{
    for (uint32_t i = 0; i < c->n_differences; i++)
        if (c->differences[i].intended == MODEL_NONE &&
            c->differences[i].output == output &&
            c->differences[i].new_ahead == ahead)
            return &c->differences[i];
    return NULL;
}

/* Sequences are numbered; differences that one brings about share it. */
static uint32_t number_of(const struct comparison *c,
                          const struct difference *difference)
{
    uint32_t number = 0;

    for (uint32_t i = 0; i <= difference->like; i++)
        number += c->differences[i].like == i;
    return number;
}

static void add_broken(struct text *out, uint32_t faults)
{
    if (faults == 0) {
        text_add(out, ", nothing broken: ");
    } else {
        text_add(out, ", with ");
        add_faults(out, faults);
        text_add(out, ": ");
    }
}

static void add_scans(struct text *out, const struct difference *difference)
{
    add_broken(out, difference->faults);
    amount_of(out, difference->level, "scan");
    if (difference->leans)
        text_add(out, ", leaning on a value that is not followed");
    text_add(out, "\n");
}

static const char *ahead_words(const struct twins_output *output, bool ahead)
{
    bool bool_type = output->type->kind == TYPE_BOOL;

    if (ahead)
        return bool_type ? "on in the new one where the old one is off"
                         : "higher in the new one";
    return bool_type ? "off in the new one where the old one is on"
                     : "lower in the new one";
}

static void add_direction(struct text *out, const struct comparison *c,
                          uint32_t output, bool ahead)
{
    const struct difference *found = difference_of(c, output, ahead);
    const struct perhaps *perhaps = &c->perhaps[2 * output + !ahead];

    if (found != NULL) {
        text_printf(out, "      S%u  %s", (unsigned)number_of(c, found),
                    ahead_words(&c->outputs[output], ahead));
        add_scans(out, found);
    } else if (perhaps->level != 0) {
        text_printf(out, "      perhaps %s",
                    ahead_words(&c->outputs[output], ahead));
        add_broken(out, perhaps->faults);
        amount_of(out, perhaps->level, "scan");
        text_add(out, " or more.\n      Not found out: it would have to be "
                      "there before another output differs\n");
    }
}

static const char *same_words(enum sameness sameness)
{
    switch (sameness) {
    case SAME_READ: return "same for everything that can be read";
    case SAME_REVIEW: return "same under this review";
    case SAME_UNBROKEN: return "same as long as nothing breaks";
    case SAME_NOT_KNOWN: return "not finished";
    default: return "different";
    }
}

/* Does something intended occur, of this output, or of one that drives the
 * machine (MODEL_NONE)? */
static bool has_intended(const struct comparison *c, uint32_t output)
{
    for (uint32_t i = 0; i < c->n_differences; i++) {
        const struct difference *d = &c->differences[i];

        if (d->intended != MODEL_NONE &&
            (output == MODEL_NONE ? c->outputs[d->output].drives
                                  : d->output == output))
            return true;
    }
    return false;
}

/* How far what is the same goes. */
static const char *up_to_where(const struct comparison *c, uint32_t output)
{
    enum sameness sameness = c->output[output];

    if (sameness != SAME_REVIEW && sameness != SAME_UNBROKEN)
        return "";
    if (has_intended(c, output))
        return c->sameness == SAME_DIFFERENT
                   ? ", up to the first difference and but for what is "
                     "intended"
                   : ", but for what is intended";
    if (c->sameness == SAME_DIFFERENT)
        return sameness == SAME_REVIEW ? " up to the first difference"
                                       : ", up to the first difference";
    return has_intended(c, MODEL_NONE) ? ", up to an intended difference"
                                       : "";
}

static void add_outputs(struct text *out, const struct comparison *c)
{
    text_add(out, "\nOutputs\n");
    for (uint32_t i = 0; i < c->n_outputs; i++) {
        const struct twins_output *output = &c->outputs[i];

        text_printf(out, "  %-16s %s%s\n", output->name,
                    same_words(c->output[i]), up_to_where(c, i));
        if (output->title != output->name)
            text_printf(out, "      %s%s\n", output->title,
                        output->drives ? "" : " (drives nothing)");
        add_direction(out, c, i, true);
        add_direction(out, c, i, false);
    }
}

/* Does each intended difference really occur? */
static void add_intended(struct text *out, const struct comparison *c)
{
    const struct model *model = c->was.model;

    if (model->n_intended == 0)
        return;
    text_add(out, "\nIntended differences\n");
    for (uint32_t i = 0; i < model->n_intended; i++) {
        const struct difference *found = NULL;

        for (uint32_t k = 0; k < c->n_differences; k++)
            if (c->differences[k].intended == i)
                found = &c->differences[k];
        text_printf(out, "  %-6s %s\n      ",
                    model->intended[i].name->spelling,
                    model->intended[i].title);
        if (found == NULL) {
            text_add(out, c->unbroken.stop != STOP_NONE ||
                              c->perhaps[2 * c->n_outputs + i].level != 0
                              ? "was not found so far\n"
                          : c->sameness == SAME_DIFFERENT
                              ? "does not occur before another difference\n"
                              : "does not occur\n");
            continue;
        }
        text_printf(out, "S%u  occurs", (unsigned)number_of(c, found));
        add_scans(out, found);
    }
}

static void add_titles(struct text *out, const struct comparison *c,
                       uint32_t first)
{
    const char *before = "";

    for (uint32_t i = first; i < c->n_differences; i++) {
        if (c->differences[i].like != first)
            continue;
        text_printf(out, "%s%s", before,
                    c->outputs[c->differences[i].output].title);
        before = "; ";
    }
}

static void add_sequences(struct text *out, const struct compared_view *view)
{
    const struct comparison *c = view->comparison;

    for (uint32_t i = 0; i < c->n_differences; i++) {
        const struct difference *difference = &c->differences[i];

        if (difference->like != i)
            continue;
        text_printf(out, "\nS%u  the shortest way to a difference of: ",
                    (unsigned)number_of(c, difference));
        add_titles(out, c, i);
        text_add(out, "\n");
        if (difference->was == NULL)
            text_add(out, "    a limit came before its choices were found\n");
        else
            beside_add(out, c, difference, 4);
    }
}

/* ---- what became possible ---- */

static void add_became(struct text *out, const struct comparison *c,
                       const struct became *one)
{
    const struct model *model = c->was.model;
    const struct slot *slot =
        one->slot == MODEL_NONE ? NULL : &model->slots[one->slot];

    text_printf(out, "  %-22s ",
                one->came == CAME_NEW    ? "only in the new one"
                : one->came == CAME_GONE ? "only in the old one"
                                         : "not found out");
    if (one->actuator != MODEL_NONE) {
        text_printf(out, "on: %s", model->actuators[one->actuator].title);
        if (slot == NULL) {
            text_add(out, "\n");
            return;
        }
        text_printf(out, ", and %s is ", slot->path);
    } else {
        text_printf(out, "%s goes from ", slot->path);
        say_value(out, slot->type, one->from);
        text_add(out, " to ");
    }
    say_value(out, slot->type, one->value);
    text_add(out, "\n");
}

/* Whatever there is behind the first difference. */
static void add_all_became(struct text *out, const struct comparison *c)
{
    const struct all_became *all = c->became;
    uint32_t n = 0;

    if (all == NULL)
        return;
    text_add(out, "\nWhat became possible or impossible, each version run by "
                  "itself with its own machine");
    if (all->faults > 0) {
        text_add(out, ",\nwith ");
        add_faults(out, all->faults);
    }
    text_add(out, "\n");
    for (uint32_t i = 0; i < all->n; i++) {
        if (all->at[i].came == CAME_SAME)
            continue;
        add_became(out, c, &all->at[i]);
        n++;
    }
    if (n == 0)
        text_add(out, "  nothing of what was asked\n");
    text_printf(out, "  Asked: each output that differs, on, and with each "
                     "value of a part that has to do with it;\n"
                     "  each part, from every value to every other.\n");
}

/* ---- before and after ---- */

static const struct requirement_finding *
find(const struct findings *findings, const struct name *name)
{
    for (uint32_t i = 0; i < findings->n_requirements; i++) {
        const struct requirement_finding *one = &findings->requirements[i];

        if (strcmp(findings->model->requirements[one->requirement]
                       .name->folded, name->folded) == 0)
            return one;
    }
    return NULL;
}

static void add_before_after(struct text *out,
                             const struct compared_view *view)
{
    const struct findings *before = view->before, *after = view->after;

    text_printf(out, "\nRequirements, each version judged for itself\n"
                     "  %-14s %-22s %s\n", "", "before", "after");
    for (uint32_t i = 0; i < after->n_requirements; i++) {
        const struct requirement_finding *now = &after->requirements[i];
        const struct requirement *asked =
            &after->model->requirements[now->requirement];
        const struct requirement_finding *then = find(before, asked->name);
        const char *was = then == NULL ? "not asked"
                                       : verdict_words(then->verdict);

        text_printf(out, "  %-14s %-22s %s%s\n", asked->name->spelling, was,
                    verdict_words(now->verdict),
                    then != NULL && then->verdict == now->verdict
                        ? "" : "   (changed)");
    }
    for (uint32_t i = 0; i < before->n_requirements; i++) {
        const struct requirement_finding *then = &before->requirements[i];
        const struct name *name =
            before->model->requirements[then->requirement].name;

        if (find(after, name) == NULL)
            text_printf(out, "  %-14s %-22s %s\n", name->spelling,
                        verdict_words(then->verdict),
                        "not asked   (changed)");
    }
    if (before->n_errors + after->n_errors > 0)
        text_printf(out, "  run-time errors that can be reached, or could "
                         "not be excluded: %u before, %u after;\n"
                         "  `keepclear check` shows them\n",
                    (unsigned)before->n_errors, (unsigned)after->n_errors);
}

/* ---- the page ---- */

static void add_heading(struct text *out, const struct compared_view *view)
{
    const struct model *model = view->after->model;

    text_add(out, "Comparison of two versions by what they do\n");
    if (model->name != NULL)
        text_printf(out, "  review   %s: %s\n", model->name,
                    model->title == NULL ? "" : model->title);
    text_printf(out, "  old      %s\n  new      %s\n\n", view->was, view->is);
}

static void add_signature(struct text *out)
{
    text_add(out,
             "\nWhat this does not show: hydraulics, distances, stopping "
             "times, wiring that was not written down,\npeople it was not "
             "told of, what happens between two samplings.  It gives no "
             "performance level.\nStandards in force, local law, tests on the "
             "machine and the review of a competent person decide.\n\n"
             "  change made by    ______________________________   date "
             "______________\n\n"
             "  compared by       ______________________________   date "
             "______________\n\n"
             "  released by       ______________________________   date "
             "______________\n");
}

void compared_add(struct text *out, const struct compared_view *view)
{
    const struct comparison *c = view->comparison;

    add_heading(out, view);
    if (view->reviews != NULL)
        reviewed_add(out, view->reviews, view->old_sources,
                     view->new_sources);
    if (c != NULL && c->refused == NULL) {
        add_answer(out, c);
        add_outputs(out, c);
        add_intended(out, c);
        add_sequences(out, view);
        add_all_became(out, c);
        unmatched_add(out, c);
    }
    add_before_after(out, view);
    add_signature(out);
}
