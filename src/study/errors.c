#include "study/errors.h"

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "engine/sequence.h"
#include "logic/known.h"
#include "study/away.h"
#include "study/complete.h"
#include "study/dead_end.h"
#include "study/lean.h"
#include "study/safety.h"

/* So many are looked at of what is too far away to be walked to. */
enum { FEW_SITUATIONS = 20000 };

void errors_release(struct errors *errors)
{
    vec_release(&errors->found);
}

/* One site under judgement. */
struct site {
    uint32_t site, watch;
    uint32_t level; /* at which it was met, 0: never */
    enum stop_reason stop;
    struct coverage coverage;
    uint64_t away;  /* STOP_AWAY: so many scans */
    bool settled;   /* found reachable, or shown unreachable */
};

/* Known without a walk: it never occurs, or too far away. */
static bool known_at_once(const struct study *study, struct site *site,
                          const struct answer *answer)
{
    site->away = away_from(study, answer, site->watch);
    if (site->away == 0)
        return false;
    site->level = 0;
    site->stop = site->away == DISTANCE_NEVER ? STOP_NONE : STOP_AWAY;
    site->coverage = (struct coverage){0};
    return true;
}

/* Is the run without movement times enough to exclude it? */
static bool ask(struct study *study, struct site *site, bool free_times,
                struct answer *answer)
{
    static const bool until[1] = {true};
    const struct question question = {
        .watches = &site->watch,
        .n_watches = 1,
        .faults = study->most_faults,
        .free_times = free_times,
        .until = until,
    };

    answer_slice(study, &question, answer);
    if (known_at_once(study, site, answer))
        return site->stop == STOP_NONE;
    answer_ask(study, &question, answer);
    site->level = answer_level(answer, site->watch);
    site->stop = answer_stop(answer);
    site->coverage = answer_coverage(answer);
    return site->level == 0 && site->stop == STOP_NONE;
}

/* Is it shown by looking at a few situations that it never occurs?  A counter
 * that starts anew soon has few, however far its type reaches. */
static bool comes_round(struct study *study, const struct site *site)
{
    static const bool until[1] = {true};
    const struct question question = {
        .watches = &site->watch,
        .n_watches = 1,
        .faults = study->most_faults,
        .free_times = true,
        .until = until,
        .most_situations = FEW_SITUATIONS,
    };
    struct answer answer;
    bool shown;

    answer_find(study, &question, &answer);
    shown = answer_complete(&answer) &&
            answer_level(&answer, site->watch) == 0;
    answer_release(&answer);
    return shown;
}

static void look(struct study *study, struct site *site)
{
    struct answer answer;
    bool excluded = ask(study, site, true, &answer);

    answer_release(&answer);
    if (site->stop == STOP_AWAY)
        excluded = comes_round(study, site);
    if (!excluded && site->stop != STOP_AWAY &&
        site->stop != STOP_EFFORT) {
        excluded = ask(study, site, false, &answer);
        answer_release(&answer);
    }
    site->settled = excluded;
}

enum error_reach errors_reach(struct study *study, uint32_t watch)
{
    struct site site = {.watch = watch};

    look(study, &site);
    if (site.settled)
        return ERROR_EXCLUDED;
    if (site.stop == STOP_AWAY && study->errors_away != 0 &&
        site.away >= study->errors_away)
        return ERROR_EXCLUDED;
    return site.level != 0 ? ERROR_REACHED : ERROR_OPEN;
}

/* The sequence found leans on open places unless another one does not. */
static void look_for_sure(struct study *study, struct answer *answer,
                          const struct site *site,
                          struct error_finding *finding)
{
    const struct lean_claim claim = {REPLAY_ERROR, site->site};
    const struct replay *sure =
        lean_sure(study, answer, answer_watch(answer, site->watch), claim);

    if (sure != NULL) {
        finding->sequence = sure;
        return;
    }
    finding->verdict = VERDICT_NOT_DECIDED;
    finding->stop = STOP_LEANS;
    lean_places(study, answer, finding->sequence, claim, &finding->leaning);
}

/* A site that is reachable: its sequence, and the path ends there. */
static void record(struct study *study, struct errors *errors,
                   struct site *site)
{
    struct error_finding finding = {
        .site = site->site,
        .verdict = VERDICT_BROKEN,
    };
    const struct sequence *sequence;
    struct answer answer;

    ask(study, site, false, &answer);
    finding.coverage = site->coverage;
    sequence = answer_sequence(study, &answer, GOAL_WATCH,
                               answer_watch(&answer, site->watch));
    if (sequence != NULL)
        finding.sequence = complete_sequence(study, &answer, sequence,
                                             REPLAY_ERROR, site->site);
    if (finding.sequence == NULL) {
        finding.verdict = VERDICT_NOT_FINISHED;
        finding.stop = answer_lost(study, &answer);
    } else if (study->model->errors[site->site].cut) {
        finding.verdict = VERDICT_NOT_FINISHED;
        finding.stop = STOP_PASSES;
        study->errors_open = study->passes_cut = true;
    } else if (known_leans(answer.slice)) {
        look_for_sure(study, &answer, site, &finding);
    }
    study->errors_sure |= finding.verdict != VERDICT_NOT_DECIDED &&
                          finding.stop != STOP_PASSES;
    answer_release(&answer);
    vec_push(&errors->found, finding);
    vec_push(&study->ends, site->watch);
    site->settled = true;
}

/* The open site met first; watches are numbered in order of execution. */
static struct site *nearest(struct site *sites, uint32_t n)
{
    struct site *best = NULL;

    for (uint32_t i = 0; i < n; i++)
        if (!sites[i].settled && sites[i].level != 0 &&
            (best == NULL || sites[i].level < best->level ||
             (sites[i].level == best->level && sites[i].watch < best->watch)))
            best = &sites[i];
    return best;
}

static uint32_t gather(const struct study *study, struct site *sites)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < study->model->n_errors; i++)
        if (study->lowered->error[i] != FLAT_NONE)
            sites[n++] = (struct site){
                .site = i, .watch = study->lowered->error[i]};
    return n;
}

static void note_away(struct study *study, uint64_t away)
{
    if (study->errors_away == 0 || away < study->errors_away)
        study->errors_away = away;
}

static void record_open(struct study *study, struct errors *errors,
                        const struct site *sites, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        if (sites[i].settled)
            continue;
        if (sites[i].stop == STOP_AWAY)
            note_away(study, sites[i].away);
        else
            study->errors_open = true;
        vec_push(&errors->found, ((struct error_finding){
            .site = sites[i].site,
            .verdict = VERDICT_NOT_FINISHED,
            .stop = sites[i].stop,
            .away = sites[i].stop == STOP_AWAY ? sites[i].away : 0,
            .coverage = sites[i].coverage}));
    }
}

void errors_judge(struct study *study, struct errors *errors)
{
    struct site *sites = arena_array(study->arena,
                                     study->model->n_errors + 1,
                                     sizeof *sites);
    uint32_t n = gather(study, sites);
    struct site *next;

    errors->n_sites = n;
    for (uint32_t i = 0; i < n; i++)
        look(study, &sites[i]);
    while ((next = nearest(sites, n)) != NULL) {
        record(study, errors, next);
        for (uint32_t i = 0; i < n; i++)
            if (!sites[i].settled)
                look(study, &sites[i]);
    }
    record_open(study, errors, sites, n);
    study->errors_judged = true;
}
