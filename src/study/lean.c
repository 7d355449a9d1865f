#include "study/lean.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "logic/known.h"
#include "study/complete.h"

/* ---- sure sequences ---- */

/* A sure sequence on its way: it holds whatever is not followed gives, so that
 * what it gives there can be chosen. */
struct sure_way {
    struct study *study;
    struct step_setting setting;
    struct replay_asked asked;
    uint32_t *rows;
};

/* The scan in which it is over sooner than at the end, counted from 1; 0:
 * something else is wrong; the length and one more: nothing is. */
static uint32_t over_in(const struct sure_way *w)
{
    struct arena *arena = arena_new();
    const struct replay *replay =
        replay_run(arena, w->study->machine, &w->setting, &w->asked);
    uint32_t scan = replay->accepted ? w->asked.length + 1
                    : replay->sooner ? replay->n_scans : 0;

    arena_free(arena);
    return scan;
}

/* Lets one open place give something else in a scan, so that it goes on for
 * longer. */
static bool change_one(struct sure_way *w, uint32_t scan, uint32_t over)
{
    const struct model *model = w->study->model;
    uint32_t *row = &w->rows[(size_t)(scan - 1) * model->n_choices];

    for (uint32_t i = 0; i < model->n_choices; i++) {
        uint32_t was = row[i];

        if (model->choices[i].kind != CHOICE_ANY)
            continue;
        for (row[i] = 0; row[i] < model->choices[i].count; row[i]++)
            if (row[i] != was && over_in(w) > over)
                return true;
        row[i] = was;
    }
    return false;
}

/* What is not followed may give what is looked for sooner than is sure: then
 * something else is chosen there, in the last scan first.  False: nothing was
 * found. */
static bool avoid_sooner(struct sure_way *w)
{
    for (;;) {
        uint32_t over = over_in(w), scan = over;

        if (over == 0 || over > w->asked.length)
            return true;
        while (scan > 0 && !change_one(w, scan, over))
            scan--;
        if (scan == 0)
            return false;
    }
}

static const struct replay *play_sure(struct study *study,
                                      const struct answer *sure,
                                      const struct sequence *found,
                                      struct lean_claim claim)
{
    const uint32_t *rows = complete_rows(study, sure, found);
    size_t n = (size_t)found->length * found->n_choices;
    struct sure_way w = {study, complete_setting(study, sure),
                         {.length = found->length, .claim = claim.claim,
                          .index = claim.index}, NULL};

    if (rows == NULL)
        return NULL;
    w.asked.choices = w.rows = arena_array(study->arena, n + 1,
                                           sizeof *w.rows);
    memcpy(w.rows, rows, n * sizeof *w.rows);
    return avoid_sooner(&w) ? complete_play(study, sure, &w.asked) : NULL;
}

const struct replay *lean_sure(struct study *study, struct answer *answer,
                               uint32_t watch, struct lean_claim claim)
{
    static const bool until[1] = {true};
    struct answer sure = {.arena = answer->arena,
                          .request = answer->request,
                          .setting = answer->setting};
    const struct sequence *found = NULL;
    const struct replay *replay = NULL;
    struct engines_found asked;

    sure.slice = known_slice(answer->arena, answer->slice, watch);
    sure.setting.until = until;
    asked = engines_find(answer->arena, sure.slice, &sure.setting,
                         study->setting.engine);
    sure.reach = asked.reach;
    if (asked.differ != NULL)
        study_internal(study, asked.differ);
    if (sure.reach->watch_level[0] != 0)
        found = answer_sequence(study, &sure, GOAL_WATCH, 0);
    if (found != NULL)
        replay = play_sure(study, &sure, found, claim);
    if (sure.exploration != NULL)
        exploration_free(sure.exploration);
    return replay;
}

/* ---- what it leans on ---- */

struct flips {
    struct study *study;
    const struct answer *answer;
    const struct replay *sequence;
    struct lean_claim claim;
    uint32_t *rows; /* n_scans times the choices */
    bool *leans;    /* per open place */
};

static const struct choice *choice_of(const struct flips *f, uint32_t row)
{
    return &f->study->model->choices[row];
}

static bool still_shown(const struct flips *f)
{
    const struct step_setting setting = {
        .fault_limit = f->answer->request.faults,
        .allowed = f->answer->request.allowed,
        .studied = f->answer->request.studied,
        .n_studied = f->answer->request.n_studied,
        .forbidden = f->answer->request.forbidden,
        .n_forbidden = f->answer->request.n_forbidden,
        .dropped = f->study->dropped,
    };
    const struct replay_asked asked = {
        .choices = f->rows,
        .length = f->sequence->n_scans,
        .claim = f->claim.claim,
        .index = f->claim.index,
    };

    return replay_run(f->answer->arena, f->study->machine, &setting, &asked)
        ->accepted;
}

static void flip(struct flips *f, uint32_t scan, uint32_t row)
{
    uint32_t n = f->study->model->n_choices;
    uint32_t *at = &f->rows[(size_t)scan * n + row], was = *at;

    for (uint32_t i = 0; i < choice_of(f, row)->count; i++) {
        *at = i;
        if (i != was && !still_shown(f))
            f->leans[choice_of(f, row)->of] = true;
    }
    *at = was;
}

static void gather(const struct study *study, const bool *leans,
                   struct leaning *leaning)
{
    uint32_t n = study->model->n_open_places;
    uint32_t *places = arena_array(study->arena, n + 1, sizeof *places);

    leaning->n = 0;
    for (uint32_t i = 0; i < n; i++)
        if (leans[i])
            places[leaning->n++] = i;
    leaning->places = places;
}

void lean_places(struct study *study, const struct answer *answer,
                 const struct replay *sequence, struct lean_claim claim,
                 struct leaning *leaning)
{
    const struct model *model = study->model;
    uint32_t n = model->n_choices;
    struct flips f = {study, answer, sequence, claim, NULL, NULL};

    f.rows = arena_array(answer->arena, (size_t)sequence->n_scans * n + 1,
                         sizeof *f.rows);
    f.leans = arena_array(answer->arena, model->n_open_places + 1,
                          sizeof *f.leans);
    for (uint32_t scan = 0; scan < sequence->n_scans; scan++)
        memcpy(&f.rows[(size_t)scan * n], sequence->scans[scan].choices,
               n * sizeof *f.rows);
    for (uint32_t scan = 0; scan < sequence->n_scans; scan++)
        for (uint32_t row = 0; row < n; row++)
            if (choice_of(&f, row)->kind == CHOICE_ANY &&
                answer->slice->used[row])
                flip(&f, scan, row);
    gather(study, f.leans, leaning);
    if (leaning->n == 0)
        lean_all(study, answer, leaning);
}

const bool *lean_read(const struct study *study, const struct answer *answer)
{
    const struct model *model = study->model;
    bool *read = arena_array(study->arena, model->n_open_places + 1,
                             sizeof *read);

    for (uint32_t i = 0; i < model->n_choices; i++)
        if (model->choices[i].kind == CHOICE_ANY && answer->slice->used[i])
            read[model->choices[i].of] = true;
    return read;
}

void lean_all(const struct study *study, const struct answer *answer,
              struct leaning *leaning)
{
    gather(study, lean_read(study, answer), leaning);
}

/* ---- ways ---- */

const struct slice *lean_ours(const struct answer *answer)
{
    const struct slice *slice = answer->slice;
    struct slice *made = ARENA_NEW(answer->arena, struct slice);
    struct flat_choice *choices = arena_array(
        answer->arena, slice->n_choices + 1, sizeof *choices);

    for (uint32_t i = 0; i < slice->n_choices; i++) {
        choices[i] = slice->choices[i];
        if (slice->used[i] && (choices[i].kind == FLAT_SHARED ||
                               choices[i].kind == FLAT_UNCOMMANDED ||
                               choices[i].kind == FLAT_TIME))
            return NULL;
        if (choices[i].kind == FLAT_ANY)
            choices[i].kind = FLAT_MACHINE;
    }
    *made = *slice;
    made->choices = choices;
    return made;
}

/* ---- run-time errors ---- */

enum stop_reason lean_errors(const struct study *study)
{
    if (study->errors_sure)
        return STOP_ERROR;
    if (study->errors_open)
        return STOP_ERROR_OPEN;
    return study->ends.n > 0 ? STOP_ERROR_LEANS : STOP_NONE;
}

enum verdict lean_verdict(enum stop_reason stop)
{
    return stop == STOP_ERROR_LEANS || stop == STOP_DEAD_END_LEANS
               ? VERDICT_NOT_DECIDED
               : VERDICT_NOT_FINISHED;
}
