#include "study/fitting.h"

#include "base/arena.h"
#include "check/model.h"
#include "study/complete.h"
#include "study/load.h"
#include "study/pathends.h"

/* One part of a trigger. */
static void look(struct study *study, uint32_t requirement, uint32_t trigger,
                 struct fitting *fitting)
{
    uint32_t watch = study->lowered->trigger[requirement] + trigger;
    const bool until = true;
    const struct question question = {
        .watches = &watch, .n_watches = 1, .until = &until};
    const struct sequence *sequence = NULL;
    struct answer answer;

    answer_find(study, &question, &answer);
    if (answer_level(&answer, watch) != 0)
        sequence = answer_sequence(study, &answer, GOAL_WATCH,
                                   answer_watch(&answer, watch));
    if (sequence != NULL)
        fitting->sequence =
            complete_sequence(study, &answer, sequence, REPLAY_TRIGGER,
                              requirement << 16 | trigger);
    if (fitting->sequence != NULL)
        fitting->trigger = trigger;
    else if (answer_level(&answer, watch) != 0 || !answer_complete(&answer))
        fitting->not_known = true;
    answer_release(&answer);
}

static void find(struct study *study, struct fitting *all)
{
    for (uint32_t r = 0; r < study->model->n_requirements; r++) {
        const struct requirement *requirement =
            &study->model->requirements[r];

        if (requirement->form >= FORM_POSSIBLE ||
            study->lowered->trigger[r] == FLAT_NONE)
            continue;
        for (uint32_t t = 0;
             t < requirement->n_triggers && all[r].sequence == NULL; t++)
            if (!requirement->triggers[t].untolerated)
                look(study, r, t, &all[r]);
        all[r].never = all[r].sequence == NULL && !all[r].not_known;
    }
}

const struct fittings *fitting_find(struct loaded *loaded,
                                    const struct study_setting *setting)
{
    struct fittings *fittings = ARENA_NEW(loaded->arena, struct fittings);
    struct fitting *all = arena_array(
        loaded->arena, (size_t)loaded->model->n_requirements + 1,
        sizeof *all);
    struct path_ends ends;
    struct study study;

    fittings->at = all;
    if (!path_ends_find(&ends, loaded, setting, 0) ||
        !study_open(&study, loaded->arena, loaded->model, setting,
                    loaded->diags))
        return NULL;
    path_ends_put(&study, &ends);
    find(&study, all);
    fittings->internal_error = ends.internal_error != NULL
                                   ? ends.internal_error
                                   : study.internal_error;
    study_close(&study);
    return fittings;
}
