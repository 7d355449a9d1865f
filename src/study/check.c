#include "study/check.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "reference/replay.h"
#include "study/atwill.h"
#include "study/branches.h"
#include "study/dead_end.h"
#include "study/errors.h"
#include "study/judge.h"
#include "study/need.h"
#include "study/rehearse.h"

/* Looked at, in all, for branches that nothing may reach. */
enum { BRANCH_SITUATIONS = 120000 };

/* For a question of a control text alone, in nodes that the engine over sets
 * makes: some seconds. */
enum { ALONE_EFFORT = 2000000 };

/* Nobody waits for hours to hear of a counter that overflows one day: who
 * wants to says how many situations, or writes a review text. */
static uint64_t effort_of(const struct model *model,
                          const struct study_setting *setting)
{
    return model->name == NULL && setting->engine == ENGINE_FIRST &&
                   setting->most_situations == 0
               ? ALONE_EFFORT : 0;
}

/* A check under way. */
struct check {
    struct study study;
    struct errors errors;
    struct dead_ends ends;
    struct at_will at_will;
    struct needs needs;
    const struct rehearsal *rehearsal;
    struct findings *findings;
};

/* Errors and requirements that are judged; what is told is not changed any
 * more. */
static void tell(struct check *check, uint32_t n_requirements)
{
    const struct study_setting *setting = &check->study.setting;
    struct findings *findings = check->findings;

    findings->n_requirements = n_requirements;
    findings->internal_error = check->study.internal_error;
    if (setting->found != NULL)
        setting->found(setting->found_context, findings);
}

static void judge_requirements(struct check *check)
{
    struct study *study = &check->study;
    const struct model *model = study->model;
    struct requirement_finding *found = arena_array(
        study->arena, model->n_requirements + 1, sizeof *found);
    uint32_t n = 0;

    check->findings->requirements = found;
    tell(check, 0);
    for (uint32_t r = 0; r < model->n_requirements; r++) {
        if (study->setting.only != NULL && !study->setting.only[r])
            continue;
        judge_requirement(study, check->rehearsal, &check->ends, r,
                          &found[n]);
        at_will_judge(&check->at_will, study, &found[n]);
        need_judge(&check->needs, study, check->rehearsal, &found[n]);
        tell(check, ++n);
    }
}

/* What no question took in. */
static void note_idle(struct check *check)
{
    const struct model *model = check->study.model;
    const struct findings *findings = check->findings;
    bool *idle = arena_array(check->study.arena, model->n_assumptions + 1,
                             sizeof *idle);

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        idle[a] = true;
        for (uint32_t i = 0; i < findings->n_requirements; i++)
            if (findings->requirements[i].assumption_used != NULL &&
                findings->requirements[i].assumption_used[a])
                idle[a] = false;
        for (uint32_t i = 0; i < findings->n_dead_ends; i++)
            if (findings->dead_ends[i].assumption[a])
                idle[a] = false;
    }
    check->findings->assumption_idle = idle;
}

/* Needed by this one, or not known to be unneeded. */
static bool may_need(const struct requirement_finding *finding, uint32_t a)
{
    if (finding->assumption_used == NULL)
        return false;
    if (finding->need_state == NEED_KNOWN)
        return finding->need[a] != NEED_NO;
    return finding->assumption_used[a];
}

/* What some question took in, but none needs. */
static void note_unneeded(struct check *check)
{
    const struct model *model = check->study.model;
    const struct findings *findings = check->findings;
    bool *unneeded = arena_array(check->study.arena,
                                 model->n_assumptions + 1, sizeof *unneeded);

    for (uint32_t a = 0; a < model->n_assumptions; a++) {
        unneeded[a] = !findings->assumption_idle[a];
        for (uint32_t i = 0; i < findings->n_requirements; i++)
            if (may_need(&findings->requirements[i], a))
                unneeded[a] = false;
        for (uint32_t i = 0; i < findings->n_dead_ends; i++)
            if (findings->dead_ends[i].assumption[a])
                unneeded[a] = false;
    }
    check->findings->assumption_unneeded = unneeded;
}

static void *keep(struct arena *arena, const void *at, size_t n, size_t size)
{
    void *copy = arena_array(arena, n + 1, size);

    if (n > 0)
        memcpy(copy, at, n * size);
    return copy;
}

static void gather_errors(struct check *check)
{
    struct findings *findings = check->findings;

    findings->errors = keep(check->study.arena, check->errors.found.at,
                            check->errors.found.n,
                            sizeof *check->errors.found.at);
    findings->n_errors = (uint32_t)check->errors.found.n;
    findings->n_error_sites = check->errors.n_sites;
}

static void gather(struct check *check)
{
    struct findings *findings = check->findings;
    struct arena *arena = check->study.arena;

    findings->dead_ends = keep(arena, check->ends.found.at,
                               check->ends.found.n,
                               sizeof *check->ends.found.at);
    findings->n_dead_ends = (uint32_t)check->ends.found.n;
    note_idle(check);
    note_unneeded(check);
    findings->entire = check->study.setting.entire;
    findings->by_sets = check->study.asked.sets;
    findings->by_tiles = check->study.asked.tiles;
    findings->internal_error = check->study.internal_error;
}

static bool has_fault(const struct model *model, const struct replay *way)
{
    for (uint32_t s = 0; s < way->n_scans; s++)
        for (uint32_t i = 0; i < model->n_choices; i++)
            if (model->choices[i].kind == CHOICE_FAULT &&
                way->scans[s].choices[i] != 0)
                return true;
    return false;
}

/* What the way to an error runs into without any fault can be reached so. */
static void note_way(struct check *check, const struct replay *way)
{
    const struct model *model = check->study.model;

    if (!way || !way->branch || has_fault(model, way))
        return;
    for (uint32_t b = 0; b < model->n_branches; b++)
        if (way->branch[b])
            check->rehearsal->branch[b] = true;
    for (uint32_t i = 0; i < model->n_stretches; i++)
        if (way->stretch[i])
            check->rehearsal->stretch[i] = true;
}

static void note_ways(struct check *check)
{
    for (uint32_t i = 0; i < check->findings->n_errors; i++)
        note_way(check, check->findings->errors[i].sequence);
}

static void run_check(struct check *check)
{
    struct study *study = &check->study;

    check->rehearsal = rehearse(study);
    errors_judge(study, &check->errors);
    gather_errors(check);
    note_ways(check);
    judge_requirements(check);
    if (study->setting.only == NULL)
        check->findings->taken = branches_judge(study, check->rehearsal,
                                                BRANCH_SITUATIONS);
    gather(check);
}

const struct findings *check_model(struct arena *arena,
                                   const struct model *model,
                                   const struct study_setting *setting,
                                   struct diags *diags)
{
    struct check check = {0};

    if (!study_open(&check.study, arena, model, setting, diags))
        return NULL;
    check.study.effort = effort_of(model, setting);
    check.findings = ARENA_NEW(arena, struct findings);
    check.findings->model = model;
    check.findings->machine = check.study.machine;
    check.findings->quick = setting->quick;
    run_check(&check);
    errors_release(&check.errors);
    dead_ends_release(&check.ends);
    at_will_release(&check.at_will);
    needs_release(&check.needs);
    study_close(&check.study);
    return check.findings;
}
