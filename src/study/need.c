#include "study/need.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/errors.h"
#include "study/judge.h"
#include "study/stand.h"

/* Without an assumption there can be far more situations than with it; a
 * question that goes on for so much longer than its requirement did is given
 * up. */
enum { MORE_TIMES = 8, MORE_AT_LEAST = 100000 };

enum outcome { NOT_NEEDED, NEEDED, NOT_KNOWN };

/* One requirement whose needs are looked for. */
struct search {
    struct needs *needs;
    struct study study; /* with what is dropped left out */
    const struct rehearsal *rehearsal;
    const struct requirement_finding *finding;
    bool *dropped;      /* per assumption */
};

void needs_release(struct needs *needs)
{
    dead_ends_release(&needs->ends);
    vec_release(&needs->dropped);
    vec_release(&needs->site);
    vec_release(&needs->reach);
}

/* ---- run-time errors that an assumption keeps away ---- */

static const bool *site_reads(struct study *study, uint32_t watch)
{
    bool *reads = arena_array(study->arena, study->model->n_assumptions + 1,
                              sizeof *reads);
    const struct question question = {
        .watches = &watch, .n_watches = 1, .faults = study->most_faults};
    struct answer answer;

    answer_slice(study, &question, &answer);
    for (uint32_t i = 0; i < answer.slice->n_assumptions; i++)
        reads[answer.slice->assumptions[i].number] = true;
    answer_release(&answer);
    return reads;
}

static void find_readers(struct needs *needs, struct study *study)
{
    uint32_t n = study->model->n_errors;
    const bool **all = arena_array(study->arena, n + 1, sizeof *all);

    for (uint32_t i = 0; i < n; i++)
        if (study->lowered->error[i] != FLAT_NONE)
            all[i] = site_reads(study, study->lowered->error[i]);
    needs->site_reads = all;
}

/* The part of what is dropped that the site could notice; NULL when there is
 * none. */
static const bool *noticed(struct search *search, uint32_t site)
{
    uint32_t n = search->study.model->n_assumptions;
    const bool *reads = search->needs->site_reads[site];
    bool *part = arena_array(search->study.arena, n + 1, sizeof *part);
    bool any = false;

    for (uint32_t i = 0; reads != NULL && i < n; i++) {
        part[i] = reads[i] && search->dropped[i];
        any = any || part[i];
    }
    return any ? part : NULL;
}

static enum error_reach ask_site(struct search *search, uint32_t site,
                                 const bool *part)
{
    struct needs *needs = search->needs;
    uint32_t n = search->study.model->n_assumptions;
    enum error_reach reach;

    for (size_t i = 0; i < needs->site.n; i++)
        if (needs->site.at[i] == site &&
            memcmp(needs->dropped.at[i], part, n) == 0)
            return (enum error_reach)needs->reach.at[i];
    reach = errors_reach(&search->study, search->study.lowered->error[site]);
    vec_push(&needs->dropped, part);
    vec_push(&needs->site, site);
    vec_push(&needs->reach, (int)reach);
    return reach;
}

static enum outcome without_errors(struct search *search)
{
    enum outcome outcome = NOT_NEEDED;

    for (uint32_t i = 0; i < search->study.model->n_errors; i++) {
        const bool *part = noticed(search, i);
        enum error_reach reach =
            part == NULL ? ERROR_EXCLUDED : ask_site(search, i, part);

        if (reach == ERROR_REACHED)
            return NEEDED;
        if (reach == ERROR_OPEN)
            outcome = NOT_KNOWN;
    }
    return outcome;
}

/* ---- one set of dropped assumptions ---- */

/* Assumptions outside the slice must still leave a way on. */
static enum outcome outside(struct search *search,
                            const struct answer *answer)
{
    enum stop_reason stop =
        dead_ends_outside(&search->needs->ends, &search->study, answer);

    if (stop == STOP_NONE)
        return NOT_NEEDED;
    return stop == STOP_DEAD_END || stop == STOP_DEAD_END_LEANS ? NEEDED
                                                                : NOT_KNOWN;
}

static enum outcome no_breach(struct search *search, bool explore)
{
    uint32_t requirement = search->finding->requirement;
    enum outcome outcome = NEEDED;
    enum stand stand = STAND_KEPT;
    struct answer answer;

    if (explore)
        stand = stand_find(&search->study, requirement, &answer);
    else
        stand_slice(&search->study, requirement, &answer);
    if (stand == STAND_OPEN)
        outcome = NOT_KNOWN;
    else if (stand == STAND_KEPT &&
             (!explore ||
              !answer_dead_end(&answer)))
        outcome = outside(search, &answer);
    answer_release(&answer);
    return outcome;
}

static enum outcome still_a_way(struct search *search)
{
    struct requirement_finding finding = {0};

    judge_requirement(&search->study, search->rehearsal,
                      &search->needs->ends, search->finding->requirement,
                      &finding);
    if (finding.verdict == VERDICT_KEPT)
        return NOT_NEEDED;
    if (finding.verdict == VERDICT_BROKEN || finding.stop == STOP_LEANS ||
        finding.stop == STOP_DEAD_END ||
        finding.stop == STOP_DEAD_END_LEANS)
        return NEEDED;
    return NOT_KNOWN;
}

/* Is what is dropped needed?  explore: the requirement's own slice must be
 * looked at again. */
static enum outcome ask(struct search *search, bool explore)
{
    bool way = judge_looks_for_a_way(&search->study,
                                     search->finding->requirement);
    enum outcome outcome = way && explore ? still_a_way(search)
                                          : no_breach(search, explore);
    enum outcome errors;

    if (outcome == NEEDED)
        return outcome;
    errors = without_errors(search);
    return errors == NOT_NEEDED ? outcome : errors;
}

/* ---- the search ---- */

static bool can_be_dropped(const struct search *search, uint32_t i)
{
    return search->study.model->assumptions[i].name != NULL;
}

/* Does what is dropped belong to what the requirement reads? */
static bool takes_part(const struct search *search)
{
    for (uint32_t i = 0; i < search->study.model->n_assumptions; i++)
        if (search->dropped[i] && search->finding->assumption_used[i])
            return true;
    return false;
}

static bool drop_all(struct search *search)
{
    bool any = false;

    for (uint32_t i = 0; i < search->study.model->n_assumptions; i++) {
        search->dropped[i] = can_be_dropped(search, i);
        any = any || search->dropped[i];
    }
    return any;
}

static void drop_none(struct search *search)
{
    memset(search->dropped, 0,
           search->study.model->n_assumptions * sizeof *search->dropped);
}

/* One after the other; false when a limit was met. */
static bool drop_each(struct search *search, enum need *need)
{
    for (uint32_t i = 0; i < search->study.model->n_assumptions; i++) {
        enum outcome outcome;

        if (!can_be_dropped(search, i))
            continue;
        search->dropped[i] = true;
        outcome = ask(search, search->finding->assumption_used[i]);
        if (outcome == NOT_KNOWN)
            return false;
        search->dropped[i] = outcome == NOT_NEEDED;
        need[i] = outcome == NOT_NEEDED ? NEED_NO : NEED_IN_SET;
    }
    return true;
}

/* Those of the set that break it when they alone are dropped. */
static bool drop_alone(struct search *search, enum need *need)
{
    for (uint32_t i = 0; i < search->study.model->n_assumptions; i++) {
        enum outcome outcome;

        if (need[i] != NEED_IN_SET)
            continue;
        drop_none(search);
        search->dropped[i] = true;
        outcome = ask(search, search->finding->assumption_used[i]);
        if (outcome == NOT_KNOWN)
            return false;
        if (outcome == NEEDED)
            need[i] = NEED_EVERY;
    }
    return true;
}

static bool find(struct search *search, enum need *need)
{
    enum outcome outcome = NOT_NEEDED;

    if (drop_all(search))
        outcome = ask(search, takes_part(search));
    if (outcome == NOT_NEEDED)
        return true;
    drop_none(search);
    return drop_each(search, need) && drop_alone(search, need);
}

static void limit(struct search *search)
{
    uint64_t *most = &search->study.setting.most_situations;
    uint64_t more = search->finding->coverage.situations * MORE_TIMES +
                    MORE_AT_LEAST;

    if (*most == 0 || *most > more)
        *most = more;
}

void need_judge(struct needs *needs, struct study *study,
                const struct rehearsal *rehearsal,
                struct requirement_finding *finding)
{
    uint32_t n = study->model->n_assumptions;
    enum need *need = arena_array(study->arena, n + 1, sizeof *need);
    struct search search = {
        .needs = needs,
        .study = *study,
        .rehearsal = rehearsal,
        .finding = finding,
        .dropped = arena_array(study->arena, n + 1, sizeof(bool)),
    };

    if (finding->verdict != VERDICT_KEPT || study->setting.quick)
        return;
    if (needs->site_reads == NULL)
        find_readers(needs, study);
    needs->ends.without_sequences = true;
    search.study.dropped = search.dropped;
    limit(&search);
    finding->need_state = find(&search, need) ? NEED_KNOWN : NEED_NOT_KNOWN;
    finding->need = need;
    if (search.study.internal_error != NULL)
        study_internal(study, search.study.internal_error);
}
