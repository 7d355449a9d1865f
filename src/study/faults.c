#include "study/faults.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "reference/replay.h"
#include "study/despite.h"
#include "study/errors.h"
#include "study/judge.h"
#include "study/noticedsets.h"

/* More sets of one requirement are not listed one by one. */
enum { SETS_MOST = 4096 };

/* A study under way. */
struct faults {
    struct study study;
    struct errors errors;
    struct dead_ends ends;
    const struct rehearsal *rehearsal;
    const struct faults_setting *setting;
    bool *of; /* per cause */
    uint32_t n_causes;
};

/* One requirement of it. */
struct quarry {
    struct faults *faults;
    struct requirement_faults *result;
    VEC(struct fault_set) sets;
    VEC(struct cause_set) forbidden;
};

static void *kept(struct arena *arena, const void *at, size_t n, size_t size)
{
    void *copy = arena_array(arena, n + 1, size);

    if (n > 0)
        memcpy(copy, at, n * size);
    return copy;
}

/* ---- one question ---- */

static void ask(struct quarry *quarry, const struct despite *despite,
                struct requirement_finding *finding)
{
    struct faults *faults = quarry->faults;

    memset(finding, 0, sizeof *finding);
    faults->study.instead = despite;
    judge_requirement(&faults->study, faults->rehearsal, &faults->ends,
                      quarry->result->requirement, finding);
    faults->study.instead = NULL;
}

/* Broken, or it may be as open places come out: in either case by a
 * sequence. */
static bool is_breaking(const struct requirement_finding *finding)
{
    return finding->verdict == VERDICT_BROKEN ||
           (finding->verdict == VERDICT_NOT_DECIDED &&
            finding->sequence != NULL);
}

static void add_set(struct quarry *quarry, const uint32_t *causes, uint32_t n,
                    const struct requirement_finding *finding)
{
    vec_push(&quarry->sets, ((struct fault_set){.causes = causes, .n = n,
                                                .found = *finding}));
    vec_push(&quarry->forbidden, ((struct cause_set){causes, n}));
}

/* ---- forms that ask for the absence of a breach ---- */

/* The causes that occurred in a sequence. */
static const uint32_t *occurred(const struct faults *faults,
                                const struct replay *replay, uint32_t *n)
{
    uint32_t *causes = arena_array(faults->study.arena, faults->n_causes + 1,
                                   sizeof *causes);
    const struct replay_scan *last = &replay->scans[replay->n_scans - 1];

    *n = 0;
    for (uint32_t c = 0; c < faults->n_causes; c++)
        if (machine_place(faults->study.machine, last->state,
                          (struct place_id){PLACE_CAUSE, c}, INT64_MAX) != 0)
            causes[(*n)++] = c;
    return causes;
}

/* Every set of `size` faults that holds none of those found before breaks it
 * or not: one question for all, and one more for each that is found. */
static void hunt(struct quarry *quarry, uint32_t size)
{
    struct requirement_finding finding;
    struct fault_size *end =
        (struct fault_size *)&quarry->result->sizes[size - 1];

    for (;;) {
        const struct despite despite = {
            .faults = size,
            .allowed = quarry->faults->of,
            .forbidden = quarry->forbidden.at,
            .n_forbidden = (uint32_t)quarry->forbidden.n,
        };
        const uint32_t *causes;
        uint32_t n;

        ask(quarry, &despite, &finding);
        *end = (struct fault_size){finding.verdict, finding.stop};
        if (!is_breaking(&finding))
            return;
        causes = occurred(quarry->faults, finding.sequence, &n);
        if (n != size) {
            study_internal(&quarry->faults->study,
                           "faults that break a requirement were not found "
                           "where they were looked for first");
            return;
        }
        add_set(quarry, causes, n, &finding);
        if (quarry->sets.n == SETS_MOST) {
            *end = (struct fault_size){VERDICT_NOT_FINISHED, STOP_SETS};
            return;
        }
    }
}

/* ---- forms that ask for a way ---- */

static bool holds(const struct fault_set *set, const uint32_t *causes,
                  uint32_t n)
{
    uint32_t found = 0;

    for (uint32_t i = 0; i < n; i++)
        for (uint32_t k = 0; k < set->n; k++)
            found += set->causes[k] == causes[i];
    return found == set->n;
}

static bool holds_any(const struct quarry *quarry, const uint32_t *causes,
                      uint32_t n)
{
    for (size_t i = 0; i < quarry->sets.n; i++)
        if (holds(&quarry->sets.at[i], causes, n))
            return true;
    return false;
}

static void try_set(struct quarry *quarry, const uint32_t *causes, uint32_t n)
{
    struct arena *arena = quarry->faults->study.arena;
    struct fault_size *end =
        (struct fault_size *)&quarry->result->sizes[n - 1];
    bool *allowed = arena_array(arena, quarry->faults->n_causes + 1,
                                sizeof *allowed);
    const struct despite despite = {.faults = n, .allowed = allowed};
    struct requirement_finding finding;

    for (uint32_t i = 0; i < n; i++)
        allowed[causes[i]] = true;
    ask(quarry, &despite, &finding);
    if (is_breaking(&finding)) {
        uint32_t *copy = arena_array(arena, n, sizeof *copy);

        memcpy(copy, causes, n * sizeof *copy);
        add_set(quarry, copy, n, &finding);
    } else if (end->verdict == VERDICT_KEPT) {
        *end = (struct fault_size){finding.verdict, finding.stop};
    }
}

/* Each set by itself: a way must be there with exactly these faults present,
 * and what is against us is resolved anew for each. */
static void try_sets(struct quarry *quarry, uint32_t size)
{
    const struct faults *faults = quarry->faults;
    uint32_t causes[FAULTS_MOST] = {0}, depth = 0;

    ((struct fault_size *)quarry->result->sizes)[size - 1] =
        (struct fault_size){VERDICT_KEPT, STOP_NONE};
    for (;;) {
        if (causes[depth] == faults->n_causes) {
            if (depth == 0)
                return;
            causes[--depth]++;
        } else if (!faults->of[causes[depth]]) {
            causes[depth]++;
        } else if (depth + 1 < size) {
            causes[depth + 1] = causes[depth] + 1;
            depth++;
        } else {
            if (!holds_any(quarry, causes, size))
                try_set(quarry, causes, size);
            causes[depth]++;
        }
    }
}

/* ---- one requirement, and all ---- */

/* The largest number of faults at once that there are. */
static uint32_t sizes(const struct faults *faults)
{
    uint32_t most = faults->setting->together, n = 0;

    for (uint32_t c = 0; c < faults->n_causes; c++)
        n += faults->of[c];
    return most < n ? most : n;
}

static void study_requirement(struct faults *faults, uint32_t requirement,
                              struct requirement_faults *result)
{
    struct quarry quarry = {.faults = faults, .result = result};
    const struct despite none = {0};
    bool for_a_way = judge_looks_for_a_way(&faults->study, requirement);

    result->requirement = requirement;
    ask(&quarry, &none, &result->sound);
    if (result->sound.verdict != VERDICT_KEPT &&
        result->sound.verdict != VERDICT_NOT_TESTED)
        return;
    result->n_sizes = sizes(faults);
    result->sizes = arena_array(faults->study.arena, FAULTS_MOST,
                                sizeof *result->sizes);
    for (uint32_t size = 1; size <= result->n_sizes; size++)
        if (for_a_way)
            try_sets(&quarry, size);
        else
            hunt(&quarry, size);
    result->n_sets = (uint32_t)quarry.sets.n;
    result->sets = kept(faults->study.arena, quarry.sets.at, quarry.sets.n,
                        sizeof *quarry.sets.at);
    vec_release(&quarry.sets);
    vec_release(&quarry.forbidden);
}

static void study_requirements(struct faults *faults,
                               struct fault_findings *result)
{
    const struct model *model = faults->study.model;
    const bool *only = faults->setting->study.only;
    struct requirement_faults *found = arena_array(
        faults->study.arena, model->n_requirements + 1, sizeof *found);
    uint32_t all = 0;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        all += only == NULL || only[r];
    result->requirements = found;
    for (uint32_t r = 0; r < model->n_requirements; r++) {
        if (only != NULL && !only[r])
            continue;
        study_requirement(faults, r, &found[result->n_requirements++]);
        if (faults->setting->judged != NULL)
            faults->setting->judged(faults->setting->judged_context,
                                    result->n_requirements, all);
    }
}

/* ---- what is noticed ---- */

static void notice_sets(struct noticed_sets *sets,
                        const struct fault_findings *result)
{
    for (uint32_t r = 0; r < result->n_requirements; r++) {
        const struct requirement_faults *asked = &result->requirements[r];

        for (uint32_t i = 0; i < asked->n_sets; i++)
            ((struct fault_set *)asked->sets)[i].noticed = noticed_sets_ask(
                sets, asked->sets[i].causes, asked->sets[i].n);
    }
}

/* Of each cause that is studied, and of each set that breaks something. */
static void study_noticing(struct faults *faults,
                           struct fault_findings *result)
{
    struct arena *arena = faults->study.arena;
    struct noticed_sets sets = {&faults->study, &faults->ends, {0}};
    const struct noticed_finding **noticed;

    if (faults->study.model->noticing.diagnostic == NULL)
        return;
    noticed = arena_array(arena, faults->n_causes + 1, sizeof *noticed);
    for (uint32_t c = 0; c < faults->n_causes; c++) {
        uint32_t *cause = ARENA_NEW(arena, uint32_t);

        *cause = c;
        if (faults->of[c])
            noticed[c] = noticed_sets_ask(&sets, cause, 1);
    }
    result->noticed = noticed;
    notice_sets(&sets, result);
    noticed_sets_release(&sets);
}

/* What belongs to no requirement. */
static const struct findings *gather(struct faults *faults)
{
    struct arena *arena = faults->study.arena;
    struct findings *findings = ARENA_NEW(arena, struct findings);

    findings->model = faults->study.model;
    findings->machine = faults->study.machine;
    findings->errors = kept(arena, faults->errors.found.at,
                            faults->errors.found.n,
                            sizeof *faults->errors.found.at);
    findings->n_errors = (uint32_t)faults->errors.found.n;
    findings->n_error_sites = faults->errors.n_sites;
    findings->dead_ends = kept(arena, faults->ends.found.at,
                               faults->ends.found.n,
                               sizeof *faults->ends.found.at);
    findings->n_dead_ends = (uint32_t)faults->ends.found.n;
    findings->internal_error = faults->study.internal_error;
    return findings;
}

static void mark_causes(struct faults *faults)
{
    const bool *of = faults->setting->of;

    faults->n_causes = faults->study.model->n_causes;
    faults->of = arena_array(faults->study.arena, faults->n_causes + 1,
                             sizeof *faults->of);
    for (uint32_t c = 0; c < faults->n_causes; c++)
        faults->of[c] = of == NULL || of[c];
}

const struct fault_findings *faults_study(struct arena *arena,
                                          const struct model *model,
                                          const struct faults_setting *setting,
                                          struct diags *diags)
{
    struct faults faults = {.setting = setting};
    struct fault_findings *result = ARENA_NEW(arena, struct fault_findings);

    ENSURE(setting->together >= 1 && setting->together <= FAULTS_MOST);
    if (!study_open(&faults.study, arena, model, &setting->study, diags))
        return NULL;
    mark_causes(&faults);
    faults.study.most_faults = setting->together;
    faults.rehearsal = rehearse(&faults.study);
    errors_judge(&faults.study, &faults.errors);
    study_requirements(&faults, result);
    study_noticing(&faults, result);
    result->findings = gather(&faults);
    result->together = setting->together;
    result->of = faults.of;
    errors_release(&faults.errors);
    dead_ends_release(&faults.ends);
    study_close(&faults.study);
    return result;
}

/* ---- how it ended ---- */

static bool is_open(enum verdict verdict)
{
    return verdict == VERDICT_NOT_DECIDED || verdict == VERDICT_NOT_FINISHED;
}

static bool is_unfinished(const struct requirement_faults *asked)
{
    bool open = is_open(asked->sound.verdict);

    for (uint32_t i = 0; i < asked->n_sizes; i++)
        open = open || is_open(asked->sizes[i].verdict);
    for (uint32_t i = 0; i < asked->n_sets; i++)
        open = open || is_open(asked->sets[i].found.verdict);
    return open;
}

static bool is_unknown(const struct noticed_finding *noticed)
{
    return noticed != NULL && (noticed->noticed == NOTICED_NOT_DECIDED ||
                               noticed->noticed == NOTICED_NOT_FINISHED);
}

/* Is it known of each by when it is noticed, as far as it is asked? */
static bool is_noticing_open(const struct fault_findings *found)
{
    uint32_t n = found->findings->model->n_causes;
    bool open = false;

    for (uint32_t c = 0; found->noticed != NULL && c < n; c++)
        open = open || is_unknown(found->noticed[c]);
    for (uint32_t r = 0; r < found->n_requirements; r++)
        for (uint32_t i = 0; i < found->requirements[r].n_sets; i++)
            open = open || is_unknown(found->requirements[r].sets[i].noticed);
    return open;
}

int faults_exit_code(const struct fault_findings *found)
{
    int code = findings_exit_code(found->findings);

    if (code == 0 && is_noticing_open(found))
        code = 3;
    for (uint32_t r = 0; code != 4 && r < found->n_requirements; r++) {
        const struct requirement_faults *asked = &found->requirements[r];

        if (asked->sound.verdict == VERDICT_BROKEN)
            code = 1;
        else if (code == 0 && is_unfinished(asked))
            code = 3;
    }
    return code;
}
