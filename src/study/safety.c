#include "study/safety.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "logic/known.h"
#include "study/another.h"
#include "study/away.h"
#include "study/complete.h"
#include "study/despite.h"
#include "study/lean.h"

/* One requirement being judged. */
struct trial {
    struct study *study;
    const struct requirement *requirement;
    struct requirement_finding *finding;
    struct dead_ends *ends;
    const struct despite *despite;
    uint32_t *watches; /* breach, then triggers */
    bool *until;
    bool *seen;        /* per trigger: shown to occur */
};

void finding_parts(struct study *study, const struct answer *answer,
                   struct requirement_finding *finding)
{
    const struct model *model = study->model;
    const struct slice *slice = answer->slice;
    bool *assumption = arena_array(study->arena, model->n_assumptions + 1,
                                   sizeof *assumption);
    bool *cause = arena_array(study->arena, model->n_causes + 1,
                              sizeof *cause);

    for (uint32_t i = 0; i < slice->n_assumptions; i++)
        assumption[slice->assumptions[i].number] = true;
    for (uint32_t i = 0; i < model->n_causes; i++)
        cause[i] = slice->used[model->causes[i].choice];
    finding->assumption_used = assumption;
    finding->cause_used = cause;
    finding->open_read = lean_read(study, answer);
}

static void question_of(const struct trial *trial, bool free_times,
                        struct question *question)
{
    *question = (struct question){
        .watches = trial->watches,
        .n_watches = 1 + trial->requirement->n_triggers,
        .free_times = free_times,
        .until = trial->until,
    };
    despite_ask(trial->despite, question);
}

static bool breach_seen(const struct trial *trial,
                        const struct answer *answer)
{
    return answer_level(answer, trial->watches[0]) != 0;
}

/* Behind an error that may occur there it does not count. */
static bool trigger_level(const struct trial *trial,
                          const struct answer *answer, uint32_t trigger)
{
    uint32_t level = answer_level(answer, trial->watches[1 + trigger]);
    uint64_t away = trial->study->errors_away;

    return level != 0 && (away == 0 || level <= away);
}

/* Is its breach too far away to be looked for?  Then that is the verdict. */
static bool too_far(struct trial *trial, const struct answer *answer)
{
    struct requirement_finding *finding = trial->finding;
    uint64_t away = away_from(trial->study, answer, trial->watches[0]);

    if (away == 0 || away == DISTANCE_NEVER)
        return false;
    finding->verdict = VERDICT_NOT_FINISHED;
    finding->stop = STOP_AWAY;
    finding->away = away;
    finding_parts(trial->study, answer, finding);
    return true;
}

static bool kept_in(const struct trial *trial, const struct answer *answer)
{
    return answer_complete(answer) && !breach_seen(trial, answer) &&
           !answer_dead_end(answer);
}

/* The longest time that the monitor's clock held, over all situations. */
static int64_t longest(const struct trial *trial, const struct answer *answer)
{
    const struct slice *slice = answer->slice;

    for (uint32_t c = 0; answer_complete(answer) && c < slice->n_cells; c++) {
        const struct flat_cell *cell =
            &trial->study->lowered->flat->cells[slice->cells[c].cell];

        if (cell->kind == PLACE_MONITOR_AGE &&
            cell->index == trial->finding->requirement)
            return answer->reach->high[c];
    }
    return -1;
}

static struct lean_claim claim_of(const struct trial *trial)
{
    return (struct lean_claim){REPLAY_BREACH, trial->finding->requirement};
}

/* What was found leans on open places. */
static void conclude_leaning(struct trial *trial, struct answer *answer)
{
    struct requirement_finding *finding = trial->finding;

    finding->verdict = VERDICT_NOT_DECIDED;
    finding->stop = STOP_LEANS;
    lean_places(trial->study, answer, finding->sequence, claim_of(trial),
                &finding->leaning);
}

static void conclude_broken(struct trial *trial, struct answer *answer)
{
    uint32_t watch = answer_watch(answer, trial->watches[0]);
    bool leans = known_leans(answer->slice);
    const struct sequence *sequence;

    trial->finding->verdict = VERDICT_BROKEN;
    if (trial->despite->most_effort != 0)
        return;
    if (leans)
        trial->finding->sequence =
            lean_sure(trial->study, answer, watch, claim_of(trial));
    if (trial->finding->sequence != NULL)
        return;
    sequence = answer_sequence(trial->study, answer, GOAL_WATCH, watch);
    if (sequence != NULL)
        trial->finding->sequence =
            complete_sequence(trial->study, answer, sequence, REPLAY_BREACH,
                              trial->finding->requirement);
    if (trial->finding->sequence == NULL) {
        trial->finding->verdict = VERDICT_NOT_FINISHED;
        trial->finding->stop = answer_lost(trial->study, answer);
    } else if (leans) {
        conclude_leaning(trial, answer);
    }
}

static bool all_triggers(const struct trial *trial)
{
    for (uint32_t t = 0; t < trial->requirement->n_triggers; t++)
        if (!trial->seen[t])
            return false;
    return true;
}

/* Nothing broke: what stands in the way of "kept"? */
static void conclude_unbroken(struct trial *trial,
                              const struct answer *answer)
{
    struct requirement_finding *finding = trial->finding;
    enum stop_reason outside = dead_ends_outside(trial->ends, trial->study,
                                                 answer);

    finding->verdict = VERDICT_NOT_FINISHED;
    if (finding->stop != STOP_NONE)
        return;
    if (lean_errors(trial->study) != STOP_NONE)
        finding->stop = lean_errors(trial->study);
    else if (answer_dead_end(answer))
        finding->stop = known_leans(answer->slice) ? STOP_DEAD_END_LEANS
                                                   : STOP_DEAD_END;
    else if (outside != STOP_NONE)
        finding->stop = outside;
    if (finding->stop != STOP_NONE)
        finding->verdict = lean_verdict(finding->stop);
    else
        finding->verdict = all_triggers(trial) ? VERDICT_KEPT
                                               : VERDICT_NOT_TESTED;
}

static void note_triggers(struct trial *trial, const struct answer *answer)
{
    for (uint32_t t = 0; t < trial->requirement->n_triggers; t++)
        if (trigger_level(trial, answer, t))
            trial->seen[t] = true;
}

/* With movement times: everything that a shorter road did not decide. */
static void judge_with_times(struct trial *trial)
{
    struct question question;
    struct answer answer;

    question_of(trial, false, &question);
    answer_slice(trial->study, &question, &answer);
    if (too_far(trial, &answer)) {
        answer_release(&answer);
        return;
    }
    answer_ask(trial->study, &question, &answer);
    trial->finding->coverage = answer_coverage(&answer);
    finding_parts(trial->study, &answer, trial->finding);
    if (answer_dead_end(&answer))
        dead_end_record(trial->ends, trial->study, &answer);
    note_triggers(trial, &answer);
    if (breach_seen(trial, &answer)) {
        conclude_broken(trial, &answer);
    } else {
        trial->finding->stop = answer_stop(&answer);
        trial->finding->longest = longest(trial, &answer);
        conclude_unbroken(trial, &answer);
    }
    answer_release(&answer);
}

/* It is kept without times; triggers that occur there must still be shown to
 * occur with them.  The run may stop when all of those were seen. */
static void confirm_triggers(struct trial *trial, const struct answer *freed)
{
    uint32_t n = trial->requirement->n_triggers;
    bool *until = arena_array(freed->arena, n + 1, sizeof *until);
    bool open = false;
    struct question question;
    struct answer answer;

    for (uint32_t t = 0; t < n; t++) {
        until[1 + t] = !trial->seen[t] && trigger_level(trial, freed, t);
        open = open || until[1 + t];
    }
    if (!open)
        return;
    question_of(trial, false, &question);
    question.until = until;
    answer_find(trial->study, &question, &answer);
    note_triggers(trial, &answer);
    if (breach_seen(trial, &answer))
        study_internal(trial->study,
                       "a requirement kept without movement times was broken "
                       "with them");
    if (!all_triggers(trial))
        trial->finding->stop = answer_stop(&answer);
    answer_release(&answer);
}

/* Given up since it took too much effort; with times it would take more. */
static bool is_spent(struct trial *trial, const struct answer *answer)
{
    if (trial->despite->most_effort == 0 ||
        answer_stop(answer) != STOP_SIGNAL)
        return false;
    trial->finding->verdict = VERDICT_NOT_FINISHED;
    trial->finding->stop = STOP_SIGNAL;
    return true;
}

/* Without movement times.  False when it does not decide. */
static bool judge_without_times(struct trial *trial)
{
    struct question question;
    struct answer answer;
    bool kept, decided;

    question_of(trial, true, &question);
    answer_slice(trial->study, &question, &answer);
    if (too_far(trial, &answer)) {
        answer_release(&answer);
        return true;
    }
    answer_ask(trial->study, &question, &answer);
    kept = kept_in(trial, &answer);
    decided = kept || is_spent(trial, &answer);
    if (kept) {
        trial->finding->coverage = answer_coverage(&answer);
        finding_parts(trial->study, &answer, trial->finding);
        trial->finding->longest = longest(trial, &answer);
        confirm_triggers(trial, &answer);
        conclude_unbroken(trial, &answer);
    }
    answer_release(&answer);
    return decided;
}

static bool has_times(const struct trial *trial)
{
    struct question question;

    question_of(trial, false, &question);
    return question_has_times(trial->study, &question);
}

static void prepare(struct trial *trial, const struct rehearsal *rehearsal)
{
    const struct lowered *lowered = trial->study->lowered;
    struct arena *arena = trial->study->arena;
    uint32_t r = trial->finding->requirement;
    uint32_t n = trial->requirement->n_triggers;

    trial->watches = arena_array(arena, n + 1, sizeof *trial->watches);
    trial->until = arena_array(arena, n + 1, sizeof *trial->until);
    trial->seen = arena_array(arena, n + 1, sizeof *trial->seen);
    trial->watches[0] = lowered->breach[r];
    trial->until[0] = true;
    for (uint32_t t = 0; t < n; t++) {
        trial->watches[1 + t] = lowered->trigger[r] + t;
        trial->seen[t] = rehearsal->trigger[r][t];
    }
    trial->finding->trigger_seen = trial->seen;
    trial->finding->longest = -1;
}

static void judge(struct trial *trial, const struct rehearsal *rehearsal)
{
    prepare(trial, rehearsal);
    if (!trial->study->setting.timed && has_times(trial) &&
        judge_without_times(trial))
        return;
    judge_with_times(trial);
}

/* What says which pairs of faults count belongs to what was looked at. */
static void add_noticing(const struct trial *trial)
{
    const struct model *model = trial->study->model;
    const struct noticed_finding *noticed = trial->despite->noticed;
    bool *used = (bool *)trial->finding->assumption_used;

    for (uint32_t c = 0; used != NULL && c < model->n_causes; c++)
        for (uint32_t a = 0; trial->despite->allowed[c] &&
                             a < model->n_assumptions; a++)
            used[a] = used[a] || noticed[c].assumption_used[a];
}

static bool is_longer(const struct requirement_finding *a,
                      const struct requirement_finding *b)
{
    return a->sequence == NULL || b->sequence == NULL ||
           a->sequence->n_scans > b->sequence->n_scans;
}

/* It may be broken by a pair that does not count only because it is not known
 * whether both are noticed: is it without these? */
static void judge_again(struct trial *trial,
                        const struct rehearsal *rehearsal)
{
    struct requirement_finding second = {
        .requirement = trial->finding->requirement};
    struct despite despite = *trial->despite;
    struct trial other = *trial;

    despite.forbidden = despite.perhaps;
    despite.n_forbidden = despite.n_perhaps;
    other.despite = &despite;
    other.finding = &second;
    judge(&other, rehearsal);
    if (second.verdict == VERDICT_BROKEN) {
        second.perhaps_shorter = is_longer(&second, trial->finding);
        *trial->finding = second;
        return;
    }
    trial->finding->verdict = lean_verdict(trial->despite->unknown);
    trial->finding->stop = trial->despite->unknown;
    trial->finding->sequence = NULL;
}

void safety_judge(struct study *study, const struct rehearsal *rehearsal,
                  struct dead_ends *ends, uint32_t requirement,
                  struct requirement_finding *finding)
{
    struct trial trial = {
        .study = study,
        .requirement = &study->model->requirements[requirement],
        .finding = finding,
        .ends = ends,
        .despite = another_despite(study, ends, requirement),
    };

    judge(&trial, rehearsal);
    if (finding->verdict == VERDICT_BROKEN &&
        trial.despite->unknown != STOP_NONE)
        judge_again(&trial, rehearsal);
    finding->despite = trial.despite;
    if (trial.despite->noticed != NULL)
        add_noticing(&trial);
}
