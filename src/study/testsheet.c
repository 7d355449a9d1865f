#include "study/testsheet.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"

enum {
    USUAL_TRIED = 10000, USUAL_EFFECTS = 2000, USUAL_VECTORS = 600,
    USUAL_SITUATIONS = 2000000, /* per question why hands do not */
    MOST_STARTS = 16 /* places from where the playing begins, one by one */
};

/* Without a limit; a machine that needs more is better told soon. */
static const uint64_t USUAL_BYTES = (uint64_t)2 << 30;

/* What is being put together. */
struct making {
    struct study *study;
    struct testsheet *sheet;
    struct hand_sequence *sequences;
    struct handplay *played;
    uint32_t *start;
    bool *lively;
};

static bool is_interrupted(void *context)
{
    const struct study_setting *setting = context;

    return setting->interrupted != NULL && setting->interrupted();
}

/* ---- played ---- */

/* Plays it from the first start from which it can be played to its end. */
static bool play(struct making *m, const struct hand_sequence *sequence,
                 struct handplay *played, struct handplay_answers *answers)
{
    for (uint32_t k = 0; k < 2 * MOST_STARTS; k++) {
        *answers = (struct handplay_answers){.start = k % MOST_STARTS,
                                             .lively = k >= MOST_STARTS};
        *played = handplay_run(m->study->arena, m->study->machine, sequence,
                               &m->sheet->obligations, answers);
        if (played->end == HANDPLAY_DONE)
            return true;
    }
    return false;
}

/* Both implementations must agree on all that is printed. */
static void compare(struct making *m, const struct hand_sequence *sequence,
                    const struct handplay *played)
{
    for (uint32_t k = 0; k < sequence->n_steps; k++) {
        const struct hand_step *step = &sequence->steps[k];

        if (played->steps[k].wrong != MODEL_NONE)
            study_internal(m->study, "an expectation of the test sheet is "
                                     "not what the reference interpreter "
                                     "finds");
        for (uint32_t i = 0; i < step->n_reached; i++)
            if (step->reached[i] < m->sheet->obligations.n_watched &&
                !played->steps[k].met[step->reached[i]])
                study_internal(m->study, "a step of the test sheet does not "
                                         "reach what it is said to reach");
    }
}

/* What only a sequence that is not on the sheet reaches is open again. */
static void reopen(struct making *m, const struct hand_sequence *sequence)
{
    for (uint32_t k = 0; k < sequence->n_steps; k++)
        for (uint32_t i = 0; i < sequence->steps[k].n_reached; i++)
            m->sheet->obligations.at[sequence->steps[k].reached[i]].state =
                OBLIGATION_OPEN;
}

static void take(struct making *m, const struct byhand *found)
{
    struct testsheet *sheet = m->sheet;
    uint32_t n = found->n_sequences;

    m->sequences = arena_array(m->study->arena, n + 1, sizeof *m->sequences);
    m->played = arena_array(m->study->arena, n + 1, sizeof *m->played);
    m->start = arena_array(m->study->arena, n + 1, sizeof *m->start);
    m->lively = arena_array(m->study->arena, n + 1, sizeof *m->lively);
    for (uint32_t i = 0; i < n; i++) {
        uint32_t at = sheet->n_sequences;
        struct handplay_answers answers;

        if (!play(m, &found->sequences[i], &m->played[at], &answers)) {
            sheet->n_dropped++;
            reopen(m, &found->sequences[i]);
            continue;
        }
        compare(m, &found->sequences[i], &m->played[at]);
        m->sequences[at] = found->sequences[i];
        m->start[at] = answers.start;
        m->lively[at] = answers.lively;
        sheet->n_sequences++;
    }
    sheet->sequences = m->sequences;
    sheet->played = m->played;
    sheet->start = m->start;
    sheet->lively = m->lively;
}

/* ---- the whole ---- */

static const struct byhand *find(struct making *m,
                                 const struct testsheet_setting *setting)
{
    struct study *study = m->study;
    const struct byhand_setting by = {
        .most_tried = setting->most_tried != 0 ? setting->most_tried
                                               : USUAL_TRIED,
        .for_effects = USUAL_EFFECTS,
        .for_vectors = USUAL_VECTORS,
        .explore = {.most_situations = setting->study.most_situations,
                    .most_bytes = setting->study.most_bytes != 0
                                      ? setting->study.most_bytes
                                      : USUAL_BYTES,
                    .interrupted = is_interrupted,
                    .interrupted_context = (void *)&setting->study}};
    const struct handlogic *logic =
        handlogic_of(study, &m->sheet->obligations);

    return byhand_find(study, logic, &m->sheet->obligations, &by);
}

/* Why hands do not is asked of the engine that does not make the sheet; a
 * path ends at a run-time error. */
static void choose_engine(struct study *study)
{
    const struct flat *flat = study->lowered->flat;

    for (uint32_t i = 0; i < flat->n_watches; i++)
        if (flat->watches[i].kind == WATCH_ERROR)
            vec_push(&study->ends, i);
    study->setting.engine = ENGINE_TILES;
    if (study->setting.most_situations == 0)
        study->setting.most_situations = USUAL_SITUATIONS;
}

static void make(struct making *m, const struct testsheet_setting *setting)
{
    struct testsheet *sheet = m->sheet;
    const struct byhand *found;

    sheet->obligations = obligations_of(m->study);
    choose_engine(m->study);
    obligations_exclude(m->study, &sheet->obligations);
    found = find(m, setting);
    sheet->end = found->end;
    sheet->left_out = found->left_out;
    sheet->tried = found->tried;
    sheet->n_pairs = found->n_pairs;
    sheet->gave_up = found->gave_up;
    sheet->can_stand = found->can_stand;
    sheet->from_power_up = found->from_power_up;
    if (found->end != EXPLORE_COMPLETE)
        return;
    take(m, found);
    obligations_explain(m->study, &sheet->obligations);
    sheet->internal_error = m->study->internal_error;
}

const struct testsheet *testsheet_study(struct arena *arena,
                                        const struct model *model,
                                        const struct testsheet_setting *setting,
                                        struct diags *diags)
{
    struct study study;
    struct testsheet *sheet = ARENA_NEW(arena, struct testsheet);
    struct making m = {.study = &study, .sheet = sheet};
    struct model *with = ARENA_NEW(arena, struct model);

    *with = *model;
    with->decisions = decisions_of(arena, model);
    sheet->model = with;
    if (!study_open(&study, arena, with, &setting->study, diags))
        sheet = NULL;
    else
        make(&m, setting);
    study_close(&study);
    return sheet;
}
