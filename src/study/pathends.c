#include "study/pathends.h"

#include <string.h>

#include "base/arena.h"
#include "study/errors.h"
#include "study/load.h"

bool path_ends_find(struct path_ends *ends, struct loaded *loaded,
                    const struct study_setting *setting, uint32_t faults)
{
    struct errors errors = {0};
    struct study study;
    uint32_t *sites;

    memset(ends, 0, sizeof *ends);
    if (!study_open(&study, loaded->arena, loaded->model, setting,
                    loaded->diags))
        return false;
    study.most_faults = faults;
    errors_judge(&study, &errors);
    ends->n = (uint32_t)study.ends.n;
    sites = arena_array(loaded->arena, study.ends.n + 1, sizeof *sites);
    for (size_t i = 0; i < study.ends.n; i++)
        sites[i] = study.lowered->flat->watches[study.ends.at[i]].index;
    ends->sites = sites;
    ends->open = study.errors_open || study.errors_away != 0;
    ends->internal_error = study.internal_error;
    errors_release(&errors);
    study_close(&study);
    return true;
}

void path_ends_put(struct study *study, const struct path_ends *ends)
{
    for (uint32_t i = 0; i < ends->n; i++) {
        uint32_t watch = study->lowered->error[ends->sites[i]];

        if (watch != FLAT_NONE)
            vec_push(&study->ends, watch);
    }
}
