#include "study/study.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "logic/keep.h"
#include "reference/machine.h"

static uint32_t most_faults(const struct model *model)
{
    uint32_t most = 0;

    for (uint32_t i = 0; i < model->n_requirements; i++)
        if (model->requirements[i].despite + model->requirements[i].another >
            most)
            most = model->requirements[i].despite +
                   model->requirements[i].another;
    return most;
}

bool study_open(struct study *study, struct arena *arena,
                const struct model *model,
                const struct study_setting *setting, struct diags *diags)
{
    const struct lower_limits limits = {setting->interrupted,
                                        setting->most_bytes};
    bool stopped;

    memset(study, 0, sizeof *study);
    study->arena = arena;
    study->model = model;
    study->setting = *setting;
    study->most_faults = most_faults(model);
    study->lowered = lower_within(arena, model,
                                  setting->early ? &limits : NULL, diags,
                                  &stopped);
    if (study->lowered == NULL)
        return false;
    study->machine = machine_new(arena, model);
    study->despites = ARENA_NEW(arena, struct despites);
    study->keep = study->setting.alone ? NULL : keep_new();
    return true;
}

void study_close(struct study *study)
{
    if (study->lowered != NULL)
        lowered_free(study->lowered);
    study->lowered = NULL;
    keep_free(study->keep);
    study->keep = NULL;
    vec_release(&study->ends);
}

void study_internal(struct study *study, const char *what)
{
    if (study->internal_error == NULL)
        study->internal_error = arena_printf(study->arena, "%s", what);
}
