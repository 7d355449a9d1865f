#include "study/noticed.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "logic/known.h"
#include "study/away.h"
#include "study/complete.h"
#include "study/lean.h"

/* One set of faults being asked about. */
struct inquiry {
    struct study *study;
    struct dead_ends *ends;
    struct noticed_finding *finding;
    struct question question;
    uint32_t watches[NOTICE_PARTS];
};

const char *noticed_words(enum noticed noticed)
{
    switch (noticed) {
    case NOTICED_BEFORE_DEMAND: return "always before the next demand";
    case NOTICED_IN_CYCLE: return "always within a work cycle";
    case NOTICED_SOMETIMES: return "on some paths only";
    case NOTICED_NEVER: return "never";
    case NOTICED_NO_DEMAND: return "no demand comes after it";
    case NOTICED_NOT_DECIDED: return "not decided";
    case NOTICED_NOT_FINISHED: return "not finished";
    }
    ENSURE(!"an answer");
    return "";
}

static bool is_seen(const struct inquiry *q, const struct answer *answer,
                    enum notice_part part)
{
    return answer_level(answer, q->watches[part]) != 0;
}

static void conclude(struct inquiry *q, enum noticed noticed)
{
    q->finding->noticed = noticed;
}

static void stopped(struct inquiry *q, enum stop_reason stop)
{
    q->finding->stop = stop;
    conclude(q, lean_verdict(stop) == VERDICT_NOT_DECIDED
                    ? NOTICED_NOT_DECIDED : NOTICED_NOT_FINISHED);
}

/* The way to a part that was seen; leans: needs open places to come out in
 * one way, or cannot be shown. */
static const struct replay *way_to(struct inquiry *q, struct answer *answer,
                                   enum notice_part part)
{
    uint32_t watch = answer_watch(answer, q->watches[part]);
    const struct sequence *sequence;

    if (known_leans(answer->slice))
        return lean_sure(q->study, answer, watch,
                         (struct lean_claim){REPLAY_NOTICE, part});
    sequence = answer_sequence(q->study, answer, GOAL_WATCH, watch);
    return sequence == NULL ? NULL
                            : complete_sequence(q->study, answer, sequence,
                                                REPLAY_NOTICE, part);
}

/* Is there a way to it that leans on nothing?  If not, says why. */
static bool is_sure(struct inquiry *q, struct answer *answer,
                    enum notice_part part)
{
    if (way_to(q, answer, part) != NULL)
        return true;
    stopped(q, known_leans(answer->slice) ? STOP_LEANS
                                          : answer_lost(q->study, answer));
    return false;
}

/* What stands in the way of "always" and "never"?  STOP_NONE: nothing. */
static enum stop_reason hindrance(struct inquiry *q, struct answer *answer)
{
    enum stop_reason outside;

    if (!answer_complete(answer))
        return answer_stop(answer);
    if (lean_errors(q->study) != STOP_NONE)
        return lean_errors(q->study);
    if (answer_dead_end(answer)) {
        dead_end_record(q->ends, q->study, answer);
        return known_leans(answer->slice) ? STOP_DEAD_END_LEANS
                                          : STOP_DEAD_END;
    }
    outside = dead_ends_outside(q->ends, q->study, answer);
    return outside;
}

/* A demand comes at which they are not noticed. */
static void passed(struct inquiry *q, struct answer *answer)
{
    enum stop_reason stop;

    q->finding->sequence = way_to(q, answer, NOTICE_PASSED);
    if (q->finding->sequence == NULL) {
        stopped(q, known_leans(answer->slice)
                       ? STOP_LEANS : answer_lost(q->study, answer));
        return;
    }
    stop = hindrance(q, answer);
    if (is_seen(q, answer, NOTICE_SEEN) && stop == STOP_NONE &&
        q->study->model->noticing.cycle != NULL &&
        !is_seen(q, answer, NOTICE_ROUND) &&
        is_seen(q, answer, NOTICE_CYCLE)) {
        if (is_sure(q, answer, NOTICE_CYCLE))
            conclude(q, NOTICED_IN_CYCLE);
    } else if (is_seen(q, answer, NOTICE_SEEN)) {
        if (is_sure(q, answer, NOTICE_SEEN))
            conclude(q, NOTICED_SOMETIMES);
    } else if (stop == STOP_NONE) {
        conclude(q, NOTICED_NEVER);
    } else {
        stopped(q, stop);
    }
}

/* No demand comes at which they are not. */
static void not_passed(struct inquiry *q, struct answer *answer)
{
    enum stop_reason stop = hindrance(q, answer);

    if (stop != STOP_NONE)
        stopped(q, stop);
    else if (!is_seen(q, answer, NOTICE_DEMAND))
        conclude(q, NOTICED_NO_DEMAND);
    else if (is_sure(q, answer, NOTICE_DEMAND))
        conclude(q, NOTICED_BEFORE_DEMAND);
}

/* Is what is asked too far away to be looked for? */
static bool is_far(const struct inquiry *q, const struct answer *answer)
{
    uint64_t away = away_from(q->study, answer, q->watches[NOTICE_PASSED]);

    return away != 0 && away != DISTANCE_NEVER;
}

static void note_parts(struct inquiry *q, const struct answer *answer)
{
    bool *used = arena_array(q->study->arena,
                             q->study->model->n_assumptions + 1,
                             sizeof *used);

    for (uint32_t i = 0; i < answer->slice->n_assumptions; i++)
        used[answer->slice->assumptions[i].number] = true;
    q->finding->assumption_used = used;
}

/* Nothing stands in the way of "always", in more than can happen: movements
 * that take any time do all that timed ones do, and meet the same assumptions
 * and errors.  What is never seen there, a demand that passes unnoticed, a
 * dead end or an error, is not there with the times either. */
static bool never_passes(struct inquiry *q, struct answer *answer)
{
    if (is_far(q, answer))
        return false;
    answer_ask(q->study, &q->question, answer);
    return answer_complete(answer) && !is_seen(q, answer, NOTICE_PASSED) &&
           !answer_dead_end(answer) && lean_errors(q->study) == STOP_NONE &&
           dead_ends_outside(q->ends, q->study, answer) == STOP_NONE;
}

/* With movement times it must still be shown that a demand comes. */
static void look_for_demand(struct inquiry *q)
{
    static const bool until[NOTICE_PARTS] = {[NOTICE_DEMAND] = true};
    struct answer answer;

    q->question.until = until;
    answer_find(q->study, &q->question, &answer);
    if (is_seen(q, &answer, NOTICE_DEMAND)) {
        if (is_sure(q, &answer, NOTICE_DEMAND))
            conclude(q, NOTICED_BEFORE_DEMAND);
    } else if (answer_complete(&answer)) {
        conclude(q, NOTICED_NO_DEMAND);
    } else {
        stopped(q, answer_stop(&answer));
    }
    answer_release(&answer);
}

/* Without movement times, a superset: false where that does not decide, or
 * where it would be the same run again. */
static bool ask_without_times(struct inquiry *q)
{
    struct answer answer;
    bool always;

    if (!question_has_times(q->study, &q->question))
        return false;
    q->question.free_times = true;
    answer_slice(q->study, &q->question, &answer);
    always = never_passes(q, &answer);
    if (always) {
        note_parts(q, &answer);
        q->finding->coverage = answer_coverage(&answer);
    }
    answer_release(&answer);
    q->question.free_times = false;
    if (always)
        look_for_demand(q);
    return always;
}

static void ask_with_times(struct inquiry *q)
{
    struct answer answer;

    answer_slice(q->study, &q->question, &answer);
    note_parts(q, &answer);
    if (is_far(q, &answer)) {
        stopped(q, STOP_AWAY);
        answer_release(&answer);
        return;
    }
    answer_ask(q->study, &q->question, &answer);
    q->finding->coverage = answer_coverage(&answer);
    if (is_seen(q, &answer, NOTICE_PASSED))
        passed(q, &answer);
    else
        not_passed(q, &answer);
    answer_release(&answer);
}

void noticed_ask(struct study *study, struct dead_ends *ends,
                 const uint32_t *causes, uint32_t n,
                 struct noticed_finding *finding)
{
    bool *allowed = arena_array(study->arena, study->model->n_causes + 1,
                                sizeof *allowed);
    struct inquiry q = {.study = study, .ends = ends, .finding = finding};

    ENSURE(study->lowered->notice != FLAT_NONE);
    *finding = (struct noticed_finding){0};
    for (uint32_t i = 0; i < n; i++)
        allowed[causes[i]] = true;
    for (uint32_t i = 0; i < NOTICE_PARTS; i++)
        q.watches[i] = study->lowered->notice + i;
    q.question = (struct question){.watches = q.watches,
                                   .n_watches = NOTICE_PARTS,
                                   .faults = n,
                                   .allowed = allowed,
                                   .studied = causes,
                                   .n_studied = n};
    if (study->setting.timed || !ask_without_times(&q))
        ask_with_times(&q);
}
