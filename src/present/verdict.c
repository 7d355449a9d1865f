#include "present/verdict.h"

#include <string.h>

#include "base/text.h"
#include "check/model.h"
#include "check/pace.h"
#include "present/amount.h"
#include "present/assumed.h"
#include "present/away.h"
#include "present/causewords.h"
#include "present/noticewords.h"
#include "present/openwords.h"
#include "present/pit.h"
#include "present/quote.h"
#include "present/sheet.h"
#include "present/testedwords.h"
#include "reference/replay.h"
#include "study/findings.h"

enum { INDENT = 6 };

static void add_time(struct text *out, const struct limit *limit)
{
    text_add(out, " · ");
    amount_seconds(out, limit->wanted);
    if (limit->sampled)
        text_add(out, " as sampled");
    if (limit->judged != limit->wanted) {
        text_add(out, " judged as ");
        amount_seconds(out, limit->judged);
    }
}

/* TRUE FOR terms of the requirement: those that stand in its text. */
static void add_clocks(struct text *out, const struct model *model,
                       const struct requirement *requirement)
{
    const struct span said = requirement->said;
    const struct limit *last = NULL;

    for (uint32_t c = 0; c < model->n_clocks; c++) {
        const struct span span = model->clocks[c].span;
        const struct limit *limit = &model->clocks[c].limit;

        if (span.file != said.file || span.from < said.from ||
            span.to > said.to)
            continue;
        if (last == NULL || last->wanted != limit->wanted ||
            last->judged != limit->judged)
            add_time(out, limit);
        last = limit;
    }
}

static void add_limit(struct text *out, const struct requirement *requirement)
{
    if (requirement->form != FORM_WHEN_THEN_WITHIN &&
        requirement->form != FORM_NO_LONGER &&
        requirement->form != FORM_AT_LEAST)
        return;
    add_time(out, &requirement->limit);
}

static void add_conditions(struct text *out, const struct view *view,
                           const struct requirement_finding *finding)
{
    const struct model *model = view->findings->model;
    const struct requirement *requirement =
        &model->requirements[finding->requirement];

    text_add(out, "in the model · ");
    causewords_despite(out, model, requirement);
    assumed_add(out, model, finding);
    openwords_count(out, model, finding);
    add_limit(out, requirement);
    add_clocks(out, model, requirement);
    if (requirement->used != MODEL_NONE &&
        model->used[requirement->used].n_looser > 0)
        text_add(out, " · a limit looser than its template");
}

static void add_figures(struct text *out, const struct view *view,
                        const struct coverage *coverage)
{
    if (!view->figures)
        return;
    text_pad(out, ' ', INDENT);
    amount_of(out, coverage->situations, "situation");
    text_add(out, ", ");
    amount_of(out, coverage->levels, "scan");
    text_add(out, " deep");
    if (coverage->without_times)
        text_add(out, ", counted without movement times");
    if (coverage->counters_cut > 0) {
        text_add(out, ", ");
        amount_of(out, coverage->counters_cut, "counter");
        text_add(out, " cut where nothing looks any further");
    }
    text_add(out, coverage->complete ? "\n" : ", not all looked at\n");
}

/* "no breach within 143 scans, 14.3 s" */
static void add_depth(struct text *out, const struct view *view,
                      const struct coverage *coverage)
{
    if (coverage->levels == 0) {
        text_add(out, "nothing was finished");
        return;
    }
    text_add(out, "no breach within ");
    amount_of(out, coverage->levels, "scan");
    text_add(out, ", ");
    amount_span(out, (int64_t)coverage->levels *
                         pace_shortest(view->findings->model),
                (int64_t)coverage->levels * view->findings->model->scan);
}

static const char *limit_words(enum stop_reason stop)
{
    switch (stop) {
    case STOP_SITUATIONS: return "the limit of situations was reached";
    case STOP_MEMORY: return "the limit of memory was reached";
    case STOP_SIGNAL: return "it was interrupted";
    case STOP_EFFORT:
        return "a control text alone is not looked at for longer: write a "
               "review text, or say --situations N";
    default: return NULL;
    }
}

static bool looks_for_a_way(const struct view *view,
                            const struct requirement_finding *finding)
{
    enum form form =
        view->findings->model->requirements[finding->requirement].form;

    return form == FORM_POSSIBLE || form == FORM_POSSIBLE_AGAIN;
}

static void add_stop(struct text *out, const struct view *view,
                     const struct requirement_finding *finding)
{
    const char *limit = limit_words(finding->stop);

    text_pad(out, ' ', INDENT);
    if (limit != NULL && looks_for_a_way(view, finding)) {
        text_printf(out, "%s: nothing can be said before all reachable "
                         "situations are known", limit);
    } else if (limit != NULL) {
        text_printf(out, "%s: ", limit);
        add_depth(out, view, &finding->coverage);
    } else if (finding->stop == STOP_ERROR) {
        text_add(out, "kept up to error E1 only: a path ends at a run-time "
                      "error, and one can be reached");
    } else if (finding->stop == STOP_ERROR_OPEN) {
        text_add(out, "no breach, but a run-time error was not excluded");
    } else if (finding->stop == STOP_DEAD_END) {
        text_add(out, "no breach, but these assumptions leave no way to go "
                      "on somewhere, see below");
    } else if (finding->stop == STOP_ERROR_LEANS) {
        text_add(out, "no breach, but whether a run-time error can be reached "
                      "is not decided, see above");
    } else if (finding->stop == STOP_DEAD_END_LEANS) {
        text_add(out, "no breach, but whether these assumptions always leave "
                      "a way to go on is not decided, see below");
    } else if (finding->stop == STOP_AWAY) {
        text_add(out, "not looked for: it cannot be broken before ");
        away_scans(out, view->findings->model, finding->away);
    } else if (finding->stop == STOP_SHARED) {
        text_add(out, "too many own choices at once against those of other "
                      "hands and SHARED variables: use FIXED, or fewer "
                      "controls in this requirement");
    }
    text_add(out, "\n");
}

static void add_sheet(struct text *out, const struct view *view,
                      const struct replay *replay, const char *heading)
{
    int64_t time = replay_time(view->findings->model, replay,
                               replay->n_scans - 1);

    text_pad(out, ' ', INDENT);
    text_printf(out, "%s, ", heading);
    amount_of(out, replay->n_scans, "scan");
    text_add(out, ", ");
    amount_seconds(out, time);
    if (view->apart) {
        text_add(out, "\n");
        return;
    }
    text_add(out, ":\n\n");
    sheet_add(out, view->findings, replay, INDENT);
}

/* "At 0.2 s: NEVER lower_valve AND … does not hold." */
static void add_breach(struct text *out, const struct view *view,
                       const struct requirement *requirement,
                       const struct replay *replay)
{
    text_add(out, "\n");
    text_pad(out, ' ', INDENT);
    text_add(out, "at ");
    amount_seconds(out, replay_time(view->findings->model, replay,
                                    replay->n_scans - 1));
    text_add(out, " this is broken: ");
    quote_span(out, view->sources, requirement->said);
    text_add(out, "\n");
}

static void add_broken(struct text *out, const struct view *view,
                       const struct requirement_finding *finding)
{
    const struct requirement *requirement =
        &view->findings->model->requirements[finding->requirement];

    if (finding->sequence == NULL)
        return;
    if (requirement->form == FORM_POSSIBLE) {
        add_sheet(out, view, finding->sequence,
                  "after this it can never be brought about");
        return;
    }
    if (requirement->form == FORM_POSSIBLE_AGAIN) {
        add_sheet(out, view, finding->sequence,
                  "after this it can never be brought about again");
        pit_add(out, view->findings->model, view->sources, requirement,
                finding->sequence->trap);
        return;
    }
    add_sheet(out, view, finding->sequence, noticewords_way(finding));
    add_breach(out, view, requirement, finding->sequence);
}

/* What was found may be there only because nothing is known of a value. */
static void add_leaning(struct text *out, const struct view *view,
                        const struct requirement_finding *finding)
{
    text_pad(out, ' ', INDENT);
    text_add(out, looks_for_a_way(view, finding)
                      ? "it may be impossible, as what is not followed "
                        "comes out:\n"
                      : "every way found to break it needs what is not "
                        "followed to come out so:\n");
    openwords_leaning(out, view->findings->model, view->sources,
                      &finding->leaning, INDENT);
    add_broken(out, view, finding);
}

static void add_triggers(struct text *out, const struct view *view,
                         const struct requirement_finding *finding)
{
    const struct requirement *requirement =
        &view->findings->model->requirements[finding->requirement];

    for (uint32_t t = 0; t < requirement->n_triggers; t++) {
        if (finding->trigger_seen[t])
            continue;
        text_pad(out, ' ', INDENT);
        text_printf(out, "this never occurs: %s\n",
                    requirement->triggers[t].words);
    }
}

int64_t verdict_margin(const struct requirement *requirement,
                       const struct requirement_finding *finding)
{
    if (finding->longest < 0 || requirement->form == FORM_AT_LEAST ||
        requirement->noticed != NULL || requirement->within.wanted != 0)
        return -1;
    return requirement->limit.judged - finding->longest;
}

static void add_margin(struct text *out, const struct view *view,
                       const struct requirement_finding *finding)
{
    int64_t margin = verdict_margin(
        &view->findings->model->requirements[finding->requirement], finding);

    if (margin < 0)
        return;
    text_pad(out, ' ', INDENT);
    text_add(out, "longest seen ");
    amount_seconds(out, finding->longest);
    text_add(out, ", smallest margin ");
    amount_seconds(out, margin);
    text_add(out, finding->coverage.without_times
                      ? ", whatever the movement times\n" : "\n");
}

static void add_notes(struct text *out, const struct view *view,
                      const struct requirement_finding *finding)
{
    const struct model *model = view->findings->model;
    const struct requirement *requirement =
        &model->requirements[finding->requirement];

    if (requirement->edge_of_hand && model->power_may_fail) {
        text_pad(out, ' ', INDENT);
        text_add(out, "not triggered by what changed while power was off\n");
    }
    if (requirement->refers_to != NULL && requirement->read_by == NULL) {
        text_pad(out, ' ', INDENT);
        text_printf(out, "refers to %s: clause not checked against the text "
                         "in force\n", requirement->refers_to);
    } else if (requirement->refers_to != NULL) {
        text_pad(out, ' ', INDENT);
        text_printf(out, "refers to %s, read by %s\n",
                    requirement->refers_to, requirement->read_by);
    }
}

void verdict_line(struct text *out, const struct view *view,
                  const struct requirement_finding *finding)
{
    const struct requirement *requirement =
        &view->findings->model->requirements[finding->requirement];

    text_printf(out, "%-5s %-9s ", requirement->name->spelling,
                verdict_words(finding->verdict));
    if (finding->part == PART_WIRING)
        text_add(out, "· by the wiring alone   ");
    if (finding->verdict == VERDICT_KEPT ||
        finding->verdict == VERDICT_NOT_TESTED)
        away_condition(out, view->findings);
    add_conditions(out, view, finding);
    text_add(out, "\n");
}

static void add_title(struct text *out, const struct model *model,
                      const struct requirement *requirement)
{
    text_pad(out, ' ', INDENT);
    text_printf(out, "%s", requirement->title);
    for (uint32_t h = 0; h < requirement->n_hazards; h++)
        text_printf(out, "%s%s", h == 0 ? " · against " : ", ",
                    model->hazards[requirement->hazards[h]].name->spelling);
    text_add(out, "\n");
}

void verdict_notes(struct text *out, const struct view *view,
                   const struct requirement_finding *finding)
{
    const struct model *model = view->findings->model;

    if (view->tested != NULL) {
        text_pad(out, ' ', INDENT);
        testedwords_requirement(out, view->tested, finding->requirement);
        text_add(out, "\n");
    }
    assumed_lines(out, model, finding, INDENT);
    noticewords_lines(out, model, finding, INDENT);
    add_notes(out, view, finding);
    if (finding->stop != STOP_AWAY)
        add_figures(out, view, &finding->coverage);
    if (finding->verdict == VERDICT_BROKEN)
        add_broken(out, view, finding);
    else if (finding->verdict == VERDICT_NOT_TESTED)
        add_triggers(out, view, finding);
    else if (finding->stop == STOP_LEANS)
        add_leaning(out, view, finding);
    else if (finding->verdict != VERDICT_KEPT)
        add_stop(out, view, finding);
    else
        add_margin(out, view, finding);
    if (finding->verdict == VERDICT_KEPT && finding->sequence != NULL &&
        view->examples)
        add_sheet(out, view, finding->sequence, "an example");
}

void verdict_requirement(struct text *out, const struct view *view,
                         const struct requirement_finding *finding)
{
    const struct model *model = view->findings->model;

    verdict_line(out, view, finding);
    add_title(out, model, &model->requirements[finding->requirement]);
    verdict_notes(out, view, finding);
}

static const char *error_words(enum error_kind kind)
{
    switch (kind) {
    case ERROR_OVERFLOW: return "a result does not fit its type";
    case ERROR_DIVISION: return "a division by zero";
    case ERROR_SUBRANGE: return "a value outside the range of its variable";
    case ERROR_LOOP: return "a loop that does not end";
    case ERROR_COUNT:
        return "the control variable of a loop leaves its type";
    case ERROR_STEP: return "a loop whose step is 0";
    case ERROR_INDEX: return "an index outside its array";
    case ERROR_CONVERSION: return "a converted value does not fit its type";
    case ERROR_SELECTOR: return "MUX has no input of this number";
    case ERROR_SHIFT: return "a shift by a number of places below zero";
    }
    return "";
}

void verdict_error_title(struct text *out, const struct view *view,
                         const struct error_finding *finding,
                         uint32_t number)
{
    const struct error_site *site =
        &view->findings->model->errors[finding->site];

    text_printf(out, "E%-4u %-9s run-time error%s: %s\n", number,
                finding->verdict == VERDICT_BROKEN        ? "reachable"
                : finding->verdict == VERDICT_NOT_DECIDED ? "not decided"
                                                          : "not excluded",
                site->in_review ? " in the review text" : "",
                error_words(site->kind));
    if (site->kind == ERROR_LOOP) {
        text_pad(out, ' ', INDENT);
        text_add(out, "this loop does not end within ");
        amount_add(out, site->passes);
        text_add(out, site->cut ? " passes; as each pass leaves values open, "
                                  "it is followed no further\n"
                                : " passes\n");
    }
    text_pad(out, ' ', INDENT);
    quote_place(out, view->sources, site->span);
    text_add(out, ": ");
    quote_span(out, view->sources, site->span);
    text_add(out, "\n");
}

void verdict_error(struct text *out, const struct view *view,
                   const struct error_finding *finding, uint32_t number)
{
    verdict_error_title(out, view, finding, number);
    if (finding->stop != STOP_AWAY)
        add_figures(out, view, &finding->coverage);
    openwords_leaning(out, view->findings->model, view->sources,
                      &finding->leaning, INDENT);
    if (finding->sequence != NULL)
        add_sheet(out, view, finding->sequence, "the shortest way to it");
    if (limit_words(finding->stop) != NULL) {
        text_pad(out, ' ', INDENT);
        text_printf(out, "%s\n", limit_words(finding->stop));
    }
    if (finding->stop == STOP_AWAY)
        away_error(out, view->findings->model, finding, INDENT);
}

void verdict_dead_end(struct text *out, const struct view *view,
                      const struct dead_end_finding *finding)
{
    const struct model *model = view->findings->model;
    bool first = true;

    text_add(out, finding->leans
                      ? "These assumptions may leave no way to go on, as "
                        "what is left open comes out: "
                      : "These assumptions leave no way to go on: ");
    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        if (!finding->assumption[a] || model->assumptions[a].name == NULL)
            continue;
        text_printf(out, "%s%s", first ? "" : ", ",
                    model->assumptions[a].name->spelling);
        first = false;
    }
    text_add(out, "\n");
    if (finding->sequence != NULL && finding->sequence->n_scans > 0)
        add_sheet(out, view, finding->sequence,
                  "the shortest way to where no input fits");
    else
        text_add(out, "      no first scan fits them at all\n");
}
