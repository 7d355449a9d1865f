#include "study/caught.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"
#include "study/check.h"
#include "study/load.h"
#include "study/unguarded.h"

/* Changes judged anew for one requirement. */
enum { MOST_TRIES = 8 };

static bool is_broken(const struct findings *findings)
{
    return findings != NULL && findings->internal_error == NULL &&
           findings->n_requirements == 1 &&
           findings->requirements[0].verdict == VERDICT_BROKEN;
}

static const struct findings *judge(struct loaded *changed,
                                    const struct study_setting *setting,
                                    uint32_t requirement)
{
    struct study_setting own = *setting;
    bool *only = arena_array(changed->arena,
                             (size_t)changed->model->n_requirements + 1,
                             sizeof *only);

    only[requirement] = true;
    own.only = only;
    own.quick = true;
    return check_model(changed->arena, changed->model, &own, changed->diags);
}

/* A later change takes the place of an earlier one only where it breaks. */
static void take(struct caught *caught, const struct change *change,
                 struct loaded *changed, const struct findings *findings)
{
    if (findings == NULL || findings->internal_error != NULL ||
        (caught->change != NULL && !is_broken(findings))) {
        loaded_free(changed);
        return;
    }
    if (caught->changed != NULL)
        loaded_free(caught->changed);
    *caught = (struct caught){change, changed, findings};
}

struct caught *caught_find(struct loaded *loaded,
                           const struct load_request *request,
                           const struct study_setting *setting,
                           const struct unguarded_findings *found)
{
    uint32_t n = loaded->model->n_requirements;
    struct caught *all = arena_array(loaded->arena, (size_t)n + 1,
                                     sizeof *all);

    for (uint32_t r = 0; r < n; r++)
        for (uint32_t i = 0, tries = 0;
             i < found->n_asked && tries < MOST_TRIES &&
             !is_broken(all[r].findings);
             i++) {
            const struct change *change = found->changes[i].change;
            struct loaded *changed;

            if (found->changes[i].noticed == NULL ||
                !found->changes[i].noticed[r])
                continue;
            tries++;
            changed = unguarded_load(loaded, request, change);
            if (changed->model == NULL)
                loaded_free(changed);
            else
                take(&all[r], change, changed, judge(changed, setting, r));
        }
    return all;
}

void caught_release(struct caught *caught, uint32_t n_requirements)
{
    for (uint32_t r = 0; caught != NULL && r < n_requirements; r++)
        if (caught[r].changed != NULL)
            loaded_free(caught[r].changed);
}
