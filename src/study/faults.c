#include "study/faults.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "study/despite.h"
#include "study/errors.h"
#include "study/judge.h"
#include "study/noticedsets.h"
#include "study/question.h"

/* More sets of one requirement are not listed one by one. */
enum { SETS_MOST = 4096 };

/* For each set that one question answers (room.h); see docs/notes/sets.md. */
enum { EFFORT_OF_SET = 6000 };

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

/* Of the causes studied, those that the requirement reads while any of them
 * may occur: what may occur besides changes nothing for it. */
static uint32_t mark_read(struct quarry *quarry, uint32_t size, bool *read)
{
    struct study *study = &quarry->faults->study;
    uint32_t r = quarry->result->requirement, n = 0;
    uint32_t n_triggers = study->model->requirements[r].n_triggers;
    uint32_t *watches = arena_array(study->arena, (size_t)n_triggers + 1,
                                    sizeof *watches);
    const struct question question = {
        .watches = watches,
        .n_watches = 1 + n_triggers,
        .faults = size,
        .allowed = quarry->faults->of,
    };
    struct answer answer;

    watches[0] = study->lowered->breach[r];
    for (uint32_t t = 0; t < n_triggers; t++)
        watches[1 + t] = study->lowered->trigger[r] + t;
    answer_slice(study, &question, &answer);
    for (uint32_t c = 0; c < quarry->faults->n_causes; c++) {
        read[c] = answer.slice->used[study->model->causes[c].choice];
        n += read[c];
    }
    answer_release(&answer);
    return n;
}

static struct fault_size *end_of(const struct quarry *quarry, uint32_t size)
{
    return (struct fault_size *)&quarry->result->sizes[size - 1];
}

/* ---- set by set ---- */

static bool is_open(enum verdict verdict)
{
    return verdict == VERDICT_NOT_DECIDED || verdict == VERDICT_NOT_FINISHED;
}

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

/* What is open in one set is open in all; what is put to the test in one of
 * them was put to the test. */
static void take_in(struct fault_size *end,
                    const struct requirement_finding *finding)
{
    if (is_open(end->verdict))
        return;
    if (is_open(finding->verdict) || end->verdict == VERDICT_NOT_TESTED)
        *end = (struct fault_size){finding->verdict, finding->stop};
}

/* Of every smaller set that breaks nothing, is that sure? */
static bool is_known_below(const struct quarry *quarry, uint32_t n)
{
    for (uint32_t size = 1; size < n; size++)
        if (is_open(end_of(quarry, size)->verdict))
            return false;
    return true;
}

static void try_set(struct quarry *quarry, const uint32_t *causes, uint32_t n)
{
    struct arena *arena = quarry->faults->study.arena;
    bool *allowed = arena_array(arena, quarry->faults->n_causes + 1,
                                sizeof *allowed);
    struct despite *despite = ARENA_NEW(arena, struct despite);
    struct requirement_finding finding;

    *despite = (struct despite){.faults = n, .allowed = allowed,
                                .exactly = is_known_below(quarry, n)};
    for (uint32_t i = 0; i < n; i++)
        allowed[causes[i]] = true;
    ask(quarry, despite, &finding);
    if (is_breaking(&finding))
        add_set(quarry, kept(arena, causes, n, sizeof *causes), n, &finding);
    else
        take_in(end_of(quarry, n), &finding);
}

/* May more sets be asked?  Once there is a signal nothing would be found. */
static bool goes_on(struct quarry *quarry, uint32_t size)
{
    const struct study_setting *setting = &quarry->faults->study.setting;

    if (setting->interrupted != NULL && setting->interrupted()) {
        *end_of(quarry, size) =
            (struct fault_size){VERDICT_NOT_FINISHED, STOP_SIGNAL};
        return false;
    }
    if (quarry->sets.n < SETS_MOST)
        return true;
    *end_of(quarry, size) =
        (struct fault_size){VERDICT_NOT_FINISHED, STOP_SETS};
    return false;
}

/* Each set of `size` causes of those marked by itself.  `least`: as what
 * counts where there is no set. */
static void try_sets(struct quarry *quarry, uint32_t size, const bool *of,
                     enum verdict least)
{
    const struct faults *faults = quarry->faults;
    uint32_t causes[FAULTS_MOST] = {0}, depth = 0;

    *end_of(quarry, size) = (struct fault_size){least, STOP_NONE};
    for (;;) {
        if (causes[depth] == faults->n_causes) {
            if (depth == 0)
                return;
            causes[--depth]++;
        } else if (!of[causes[depth]]) {
            causes[depth]++;
        } else if (depth + 1 < size) {
            causes[depth + 1] = causes[depth] + 1;
            depth++;
        } else {
            if (!holds_any(quarry, causes, size)) {
                if (!goes_on(quarry, size))
                    return;
                try_set(quarry, causes, size);
            }
            causes[depth]++;
        }
    }
}

/* ---- all sets of a size ---- */

static uint64_t sets_of(uint64_t n, uint32_t size)
{
    uint64_t sets = 1;

    for (uint32_t i = 0; i < size; i++)
        sets = n > i ? sets * (n - i) / (i + 1) : 0;
    return sets;
}

/* True where one question for all sets of that size, which costs about as much
 * as asking them one by one, finds that none breaks the requirement. */
static bool is_kept_by_all(struct quarry *quarry, uint32_t size, uint64_t n)
{
    struct faults *faults = quarry->faults;
    enum engine engine = faults->study.setting.engine;
    const struct despite despite = {
        .faults = size,
        .allowed = faults->of,
        .forbidden = quarry->forbidden.at,
        .n_forbidden = (uint32_t)quarry->forbidden.n,
        .most_effort = EFFORT_OF_SET * n,
    };
    struct dead_ends ends = {.without_sequences = true};
    struct requirement_finding finding = {0};

    if (engine != ENGINE_FIRST && engine != ENGINE_SETS)
        return false;
    faults->study.instead = &despite;
    judge_requirement(&faults->study, faults->rehearsal, &ends,
                      quarry->result->requirement, &finding);
    faults->study.instead = NULL;
    dead_ends_release(&ends);
    if (finding.verdict != VERDICT_KEPT &&
        finding.verdict != VERDICT_NOT_TESTED)
        return false;
    *end_of(quarry, size) = (struct fault_size){finding.verdict, STOP_NONE};
    return true;
}

/* The causes that a requirement reads are put in set by set where one question
 * for all does not do.  A way must be there with exactly these faults present,
 * and what is against us is resolved anew for each set. */
static void hunt(struct quarry *quarry, uint32_t size, bool for_a_way)
{
    struct faults *faults = quarry->faults;
    bool *read = arena_array(faults->study.arena, faults->n_causes + 1,
                             sizeof *read);
    uint64_t n = sets_of(mark_read(quarry, size, read), size);

    if (n > 1 && !for_a_way && is_kept_by_all(quarry, size, n))
        return;
    try_sets(quarry, size, read, quarry->result->sound.verdict);
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
        hunt(&quarry, size, for_a_way);
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
