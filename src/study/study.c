#include "study/study.h"

#include <string.h>

#include "base/arena.h"
#include "base/ensure.h"
#include "check/model.h"
#include "reference/machine.h"

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = 0;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (model->requirements[i].despite > most)
            most = model->requirements[i].despite;
    return most;
}

bool study_open(struct study *study, struct arena *arena,
                const struct model *model,
                const struct study_setting *setting, struct diags *diags)
{
    memset(study, 0, sizeof *study);
    study->arena = arena;
    study->model = model;
    study->setting = *setting;
    study->most_faults = most_faults(model);
    study->lowered = lower_model(arena, model, diags);
    if (study->lowered == NULL)
        return false;
    study->machine = machine_new(arena, model);
    return true;
}

void study_close(struct study *study)
{
    if (study->lowered != NULL)
        lowered_free(study->lowered);
    study->lowered = NULL;
    vec_release(&study->ends);
}

void study_internal(struct study *study, const char *what)
{
    if (study->internal_error == NULL)
        study->internal_error = arena_printf(study->arena, "%s", what);
}

void answer_slice(struct study *study, const struct question *question,
                  struct answer *answer)
{
    memset(answer, 0, sizeof *answer);
    answer->arena = arena_new();
    answer->request = (struct slice_request){
        .watches = question->watches,
        .n_watches = question->n_watches,
        .ends = study->ends.at,
        .n_ends = (uint32_t)study->ends.n,
        .values = question->values,
        .n_values = question->n_values,
        .with_assumptions = question->with_assumptions,
        .n_with_assumptions = question->n_with_assumptions,
        .faults = question->faults,
        .allowed = question->allowed,
        .dropped = study->dropped,
        .free_times = question->free_times,
    };
    answer->slice = slice_build(answer->arena, study->lowered->builder,
                                study->lowered->flat, &answer->request);
}

/* `until` in the order of the slice's watches. */
static const bool *order_until(const struct answer *answer,
                               const struct question *question)
{
    bool *until;

    if (question->until == NULL)
        return NULL;
    until = arena_array(answer->arena, question->n_watches, sizeof *until);
    for (uint32_t i = 0; i < question->n_watches; i++)
        until[answer_watch(answer, question->watches[i])] =
            question->until[i];
    return until;
}

/* Where no run-time error can occur, every value fits its variable. */
static void distrust(struct study *study, const struct answer *answer)
{
    if (study->errors_judged && !study->errors_open &&
        study->ends.n == 0 && exploration_reduced(answer->exploration) != 0)
        study_internal(study, "a value left the range of its variable though "
                              "no run-time error was found");
}

void answer_find(struct study *study, const struct question *question,
                 struct answer *answer)
{
    const struct study_setting *limits = &study->setting;
    struct explore_setting setting = {
        .most_situations = limits->most_situations,
        .most_bytes = limits->most_bytes,
        .interrupted = limits->interrupted,
        .progress = limits->progress,
        .progress_context = limits->progress_context,
        .fixed_first = question->fixed_first,
        .fixed_next = question->fixed_next,
    };

    answer_slice(study, question, answer);
    if (question->most_situations != 0 &&
        (setting.most_situations == 0 ||
         question->most_situations < setting.most_situations))
        setting.most_situations = question->most_situations;
    setting.until = order_until(answer, question);
    answer->exploration = explore(answer->slice, &setting);
    distrust(study, answer);
}

void answer_release(struct answer *answer)
{
    if (answer->exploration != NULL)
        exploration_free(answer->exploration);
    if (answer->arena != NULL)
        arena_free(answer->arena);
    memset(answer, 0, sizeof *answer);
}

uint32_t answer_watch(const struct answer *answer, uint32_t watch)
{
    uint32_t i = 0;

    while (answer->slice->watches[i].number != watch) {
        i++;
        ENSURE(i < answer->slice->n_watches);
    }
    return i;
}

bool answer_complete(const struct answer *answer)
{
    return exploration_end(answer->exploration) == EXPLORE_COMPLETE;
}
