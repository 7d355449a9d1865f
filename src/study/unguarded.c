#include "study/unguarded.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"
#include "base/vec.h"
#include "base/workers.h"
#include "check/model.h"
#include "source/diag.h"
#include "study/atwill.h"
#include "study/changenote.h"
#include "study/dead_end.h"
#include "study/despite.h"
#include "study/errors.h"
#include "study/glance.h"
#include "study/judge.h"
#include "study/outputs.h"
#include "study/pair.h"
#include "study/rehearse.h"

/* Random runs of each changed text, which find most breaches at once. */
enum { REHEARSALS = 60 };

/* A study under way. */
struct work {
    struct loaded *loaded;
    const struct load_request *request;
    struct unguarded_setting setting;
    struct study before;
    bool *guards;       /* per requirement */
    bool error_before;  /* an error site is reachable or open */
    struct pair_outputs outputs;
    struct unguarded_findings *found;
    struct change_finding *findings; /* of found */
    const struct change *all;        /* changes, n_all of found */
    const char *internal_error;
};

/* One changed text. */
struct changed {
    struct work *work;
    struct change_finding *finding;
    struct loaded *loaded;
    struct study after;
    struct pair *pair;
    const char *apart;  /* why there is no pair */
    bool *asked;        /* per requirement: it may notice */
    const char *open;   /* a requirement could not be judged: why */
};

/* ---- the text as it is ---- */

/* Requirements that are kept and put to the test. */
static void judge_before(struct work *work)
{
    struct study *study = &work->before;
    const struct model *model = study->model;
    const struct rehearsal *rehearsal = rehearse(study);
    struct dead_ends ends = {0};
    struct at_will at_will = {0};
    struct errors errors = {0};

    errors_judge(study, &errors);
    work->error_before = errors.found.n > 0;
    work->guards = arena_array(study->arena, model->n_requirements + 1,
                               sizeof *work->guards);
    for (uint32_t r = 0; r < model->n_requirements; r++) {
        struct requirement_finding finding = {0};

        judge_requirement(study, rehearsal, &ends, r, &finding);
        at_will_judge(&at_will, study, &finding);
        work->guards[r] = finding.verdict == VERDICT_KEPT;
    }
    errors_release(&errors);
    dead_ends_release(&ends);
    at_will_release(&at_will);
}

/* ---- one changed text ---- */

struct loaded *unguarded_load(struct loaded *loaded,
                              const struct load_request *request,
                              const struct change *change)
{
    struct load_request other = *request;
    struct load_instead instead;
    struct loaded *changed;
    struct text text = {0};

    changes_text(loaded, change, &text);
    instead = (struct load_instead){
        sources_path(loaded->sources, change->at.file), text_str(&text),
        text.n};
    other.instead = &instead;
    changed = load_run(&other);
    text_release(&text);
    return changed;
}

static void set(struct changed *changed, enum change_state state,
                const char *reason)
{
    changed->finding->state = state;
    if (reason != NULL)
        changed->finding->reason =
            arena_printf(changed->work->loaded->arena, "%s", reason);
}

static const char *first_error(const struct loaded *loaded)
{
    for (size_t i = 0; i < diags_count(loaded->diags); i++)
        if (diags_at(loaded->diags, i)->severity == DIAG_ERROR)
            return diags_at(loaded->diags, i)->message;
    return loaded->failure != NULL ? loaded->failure : "it cannot be read";
}

/* False when it cannot be judged; the finding says why. */
static bool open_changed(struct changed *changed)
{
    struct study_setting setting = changed->work->setting.study;

    changed->loaded = unguarded_load(changed->work->loaded,
                                     changed->work->request,
                                     changed->finding->change);
    if (changed->loaded->model == NULL) {
        set(changed, CHANGE_REFUSED, first_error(changed->loaded));
        return false;
    }
    changed->asked = arena_array(changed->loaded->arena,
                                 changed->loaded->model->n_requirements + 1,
                                 sizeof *changed->asked);
    setting.only = changed->asked;
    if (study_open(&changed->after, changed->loaded->arena,
                   changed->loaded->model, &setting, changed->loaded->diags))
        return true;
    set(changed, CHANGE_NOT_KNOWN, first_error(changed->loaded));
    return false;
}

static void make_pair(struct changed *changed)
{
    struct work *work = changed->work;

    if (changed->finding->change->real)
        changed->apart = "a number with fractions is told apart otherwise";
    else
        changed->pair = pair_new(changed->loaded->arena, &work->before,
                                 &changed->after, work->outputs,
                                 &changed->apart);
}

/* ---- who may notice ---- */

static bool needs_asking(struct changed *changed, uint32_t r)
{
    struct study *after = &changed->after;
    const struct requirement *asked = &after->model->requirements[r];
    uint32_t n = 1 + asked->n_triggers;
    uint32_t *watches = arena_array(after->arena, n, sizeof *watches);
    struct question question = {.watches = watches, .n_watches = n};
    struct answer answer;
    bool same;

    if (changed->pair == NULL || judge_looks_for_a_way(after, r) ||
        asked->another || asked->noticed != NULL)
        return true;
    watches[0] = after->lowered->breach[r];
    for (uint32_t t = 0; t < asked->n_triggers; t++)
        watches[1 + t] = after->lowered->trigger[r] + t;
    despite_ask(despite_of(after, r), &question);
    answer_slice(after, &question, &answer);
    same = pair_same_slice(changed->pair, &answer);
    answer_release(&answer);
    return !same;
}

static void choose(struct changed *changed)
{
    const struct model *model = changed->after.model;

    for (uint32_t r = 0; r < model->n_requirements; r++)
        changed->asked[r] = changed->work->guards[r] &&
                            needs_asking(changed, r);
}

static void notice_error(struct changed *changed)
{
    struct errors errors = {0};

    errors_judge(&changed->after, &errors);
    if (errors.found.n > 0 && !changed->work->error_before) {
        if (errors.found.at[0].verdict == VERDICT_BROKEN) {
            changed->finding->error = true;
            changed->finding->state = CHANGE_NOTICED;
        } else {
            changed->open = "whether a run-time error can occur is not known";
        }
    }
    errors_release(&errors);
}

static void judge_one(struct changed *changed, struct dead_ends *ends,
                      const struct rehearsal *rehearsal, uint32_t r)
{
    struct requirement_finding finding = {0};

    if (glance_broken(&changed->after, r))
        finding.verdict = VERDICT_BROKEN;
    else
        judge_requirement(&changed->after, rehearsal, ends, r, &finding);
    switch (finding.verdict) {
    case VERDICT_KEPT:
        return;
    case VERDICT_BROKEN:
    case VERDICT_NOT_TESTED:
        changed->finding->noticed[r] = true;
        changed->finding->state = CHANGE_NOTICED;
        return;
    case VERDICT_NOT_DECIDED:
    case VERDICT_NOT_FINISHED:
        changed->open = arena_printf(
            changed->loaded->arena, "%s could not be judged",
            changed->after.model->requirements[r].name->spelling);
        return;
    }
}

/* Random runs show nothing where something is left open. */
static bool runs_show(const struct changed *changed)
{
    return changed->after.model->n_open_places == 0 &&
           !changed->work->error_before;
}

/* What random runs broke. */
static void note_rehearsed(struct changed *changed,
                           const struct rehearsal *rehearsal)
{
    const struct model *model = changed->after.model;

    if (!runs_show(changed))
        return;
    for (uint32_t r = 0; r < model->n_requirements; r++) {
        if (!changed->asked[r] || !rehearsal->breach[r] ||
            judge_looks_for_a_way(&changed->after, r))
            continue;
        changed->finding->noticed[r] = true;
        changed->finding->state = CHANGE_NOTICED;
        if (!changed->work->setting.every)
            return;
    }
}

static bool is_noticed(const struct changed *changed)
{
    return changed->finding->state == CHANGE_NOTICED;
}

/* The requirements whose breach in a random run is enough; NULL where all are
 * to be asked, or random runs show nothing. */
static const bool *wanted_of(struct changed *changed)
{
    const struct model *model = changed->after.model;
    bool *wanted = arena_array(changed->loaded->arena,
                               model->n_requirements + 1, sizeof *wanted);

    if (changed->work->setting.every || !runs_show(changed))
        return NULL;
    for (uint32_t r = 0; r < model->n_requirements; r++)
        wanted[r] = changed->asked[r] &&
                    !judge_looks_for_a_way(&changed->after, r);
    return wanted;
}

static void ask_requirements(struct changed *changed)
{
    const struct model *model = changed->after.model;
    const struct rehearsal *rehearsal =
        rehearse_varied(&changed->after, REHEARSALS, wanted_of(changed));
    struct dead_ends ends = {.without_sequences = true};

    note_rehearsed(changed, rehearsal);
    if (changed->work->setting.every || !is_noticed(changed))
        notice_error(changed);
    for (uint32_t r = 0; r < model->n_requirements; r++)
        if (changed->asked[r] && !changed->finding->noticed[r] &&
            (changed->work->setting.every || !is_noticed(changed)))
            judge_one(changed, &ends, rehearsal, r);
    dead_ends_release(&ends);
}

/* ---- does it behave otherwise? ---- */

static uint32_t most_faults(const struct study *study)
{
    if (study->model->n_causes == 0)
        return 0;
    return study->most_faults > 1 ? study->most_faults : 1;
}

static void describe(struct changed *changed, const struct pair_found *found)
{
    struct change_finding *finding = changed->finding;

    finding->output = outputs_name(
        changed->work->loaded->arena, changed->after.model,
        &changed->work->outputs.at[found->output]);
    finding->more = found->more;
    finding->boolean = pair_boolean(
        changed->after.model, &changed->work->outputs.at[found->output]);
    finding->level = found->level;
}

static void ask_outputs(struct changed *changed)
{
    struct pair_found found;

    if (changed->pair == NULL) {
        set(changed, CHANGE_NOT_KNOWN, changed->apart);
        return;
    }
    if (pair_same_outputs(changed->pair)) {
        set(changed, CHANGE_SAME, NULL);
        return;
    }
    if (changed->work->error_before ||
        !rehearse_beside(&changed->work->before, &changed->after,
                         &changed->work->outputs, REHEARSALS, &found))
        found = pair_ask(changed->pair, &changed->work->before,
                         most_faults(&changed->work->before));
    if (found.state == PAIR_SAME)
        set(changed, CHANGE_SAME, NULL);
    else if (found.state == PAIR_NOT_KNOWN)
        set(changed, CHANGE_NOT_KNOWN, found.reason);
    else if (changed->open != NULL)
        set(changed, CHANGE_NOT_KNOWN, changed->open);
    else
        set(changed, CHANGE_UNGUARDED, NULL);
    if (found.state == PAIR_DIFFERS)
        describe(changed, &found);
}

static void judge_changed(struct changed *changed)
{
    changed->finding->state = CHANGE_SAME;
    make_pair(changed);
    choose(changed);
    ask_requirements(changed);
    if (!is_noticed(changed))
        ask_outputs(changed);
    if (changed->work->internal_error == NULL &&
        changed->after.internal_error != NULL)
        changed->work->internal_error =
            arena_printf(changed->work->loaded->arena, "%s",
                         changed->after.internal_error);
}

static void look(struct work *work, struct change_finding *finding)
{
    struct changed changed = {.work = work, .finding = finding};

    if (open_changed(&changed))
        judge_changed(&changed);
    pair_free(changed.pair);
    study_close(&changed.after);
    loaded_free(changed.loaded);
}

/* ---- all of them, several at a time ---- */

static bool look_in_child(void *context, uint32_t number,
                          struct text *result)
{
    struct work *work = context;
    struct change_finding *finding = &work->findings[number];

    work->setting.study.threads = 1;
    look(work, finding);
    changenote_write(result, finding, work->loaded->model->n_requirements,
                     work->internal_error);
    return true;
}

static void finish(struct work *work, uint32_t number)
{
    struct unguarded_findings *found = work->found;

    work->findings[number].looked = true;
    found->count[work->findings[number].state]++;
    found->n_asked++;
    if (work->setting.progress != NULL)
        work->setting.progress(work->setting.progress_context,
                               found->n_asked, found->n);
}

static void take(void *context, uint32_t number, const struct text *result)
{
    struct work *work = context;
    const char *internal = NULL;

    if (result == NULL ||
        !changenote_read(result, work->loaded->arena,
                         work->loaded->model->n_requirements,
                         &work->findings[number], &internal))
        internal = "a process that looked at a change failed";
    if (work->internal_error == NULL)
        work->internal_error = internal;
    finish(work, number);
}

static bool is_interrupted(const struct work *work)
{
    const struct study_setting *setting = &work->setting.study;

    return setting->interrupted != NULL && setting->interrupted();
}

static void look_one_by_one(struct work *work)
{
    for (uint32_t i = 0; i < work->found->n && !is_interrupted(work); i++) {
        look(work, &work->findings[i]);
        if (!is_interrupted(work))
            finish(work, i);
    }
}

static void look_at_all(struct work *work)
{
    const struct model *model = work->loaded->model;

    for (uint32_t i = 0; i < work->found->n; i++)
        work->findings[i].noticed = arena_array(
            work->loaded->arena, model->n_requirements + 1, sizeof(bool));
    if (work->setting.study.threads < 2 || work->found->n < 2)
        look_one_by_one(work);
    else
        workers_run(&(struct workers){
            .n = work->found->n, .context = work,
            .at_a_time = work->setting.study.threads,
            .job = look_in_child, .take = take,
            .stops = work->setting.study.interrupted});
}

/* The changes to look at. */
static void choose_changes(struct work *work)
{
    struct unguarded_findings *found = work->found;
    uint32_t step = work->setting.one_in > 1 ? work->setting.one_in : 1;

    work->all = changes_list(work->loaded->arena, work->loaded,
                             &found->n_all);
    work->findings = arena_array(work->loaded->arena,
                                 (size_t)found->n_all + 1,
                                 sizeof *work->findings);
    for (uint64_t i = 0; i < found->n_all; i += step)
        work->findings[found->n++].change = &work->all[i];
    found->changes = work->findings;
}

/* ---- what somebody answers for ---- */

static bool is_named(const struct change *change,
                     const struct harmless *line)
{
    return text_same_words(change->part, line->part) &&
           text_same_words(change->name, line->words);
}

/* Is there such a change at all, though nobody looked at it? */
static bool is_left_out(const struct work *work, const struct harmless *line)
{
    const struct unguarded_findings *found = work->found;

    for (uint32_t i = 0; i < found->n_all; i++)
        if (is_named(&work->all[i], line))
            return true;
    return false;
}

static void accept(struct work *work, struct change_finding *finding,
                   const struct harmless *line)
{
    finding->state = CHANGE_HARMLESS;
    finding->harmless = line;
    work->found->count[CHANGE_UNGUARDED]--;
    work->found->count[CHANGE_HARMLESS]++;
}

/* The change that a line names, where it was looked at. */
static struct change_finding *named(const struct work *work,
                                    const struct harmless *line)
{
    for (uint32_t i = 0; i < work->found->n; i++)
        if (work->findings[i].looked &&
            is_named(work->findings[i].change, line))
            return &work->findings[i];
    return NULL;
}

static void accept_harmless(struct work *work)
{
    const struct model *model = work->loaded->model;
    struct idle_harmless *idle = arena_array(
        work->loaded->arena, (size_t)model->n_harmless + 1, sizeof *idle);

    for (uint32_t i = 0; i < model->n_harmless; i++) {
        const struct harmless *line = &model->harmless[i];
        struct change_finding *finding = named(work, line);

        if (finding != NULL && finding->state == CHANGE_UNGUARDED)
            accept(work, finding, line);
        else if (finding != NULL || !is_left_out(work, line))
            idle[work->found->n_idle++] = (struct idle_harmless){
                line, finding != NULL && finding->harmless == NULL
                          ? finding : NULL};
    }
    work->found->idle = idle;
}

const struct unguarded_findings *unguarded_study(
    struct loaded *loaded, const struct load_request *request,
    const struct unguarded_setting *setting)
{
    struct arena *arena = loaded->arena;
    struct work work = {.loaded = loaded, .request = request,
                        .setting = *setting};

    if (!study_open(&work.before, arena, loaded->model, &setting->study,
                    loaded->diags))
        return NULL;
    judge_before(&work);
    work.outputs = outputs_of(arena, loaded);
    work.found = ARENA_NEW(arena, struct unguarded_findings);
    *work.found = (struct unguarded_findings){
        .model = loaded->model, .guards = work.guards,
        .every = setting->every};
    choose_changes(&work);
    look_at_all(&work);
    accept_harmless(&work);
    work.found->internal_error = work.internal_error != NULL
                                     ? work.internal_error
                                     : work.before.internal_error;
    study_close(&work.before);
    return work.found;
}

int unguarded_exit_code(const struct unguarded_findings *found)
{
    if (found->internal_error != NULL)
        return 4;
    if (found->count[CHANGE_UNGUARDED] > 0)
        return 1;
    return found->count[CHANGE_NOT_KNOWN] > 0 || found->n_asked < found->n
               ? 3 : 0;
}
