#include "study/noticedsets.h"

#include <string.h>

#include "base/arena.h"
#include "check/model.h"

static const struct noticed_finding *known(const struct noticed_sets *sets,
                                           const uint32_t *causes, uint32_t n)
{
    for (size_t i = 0; i < sets->asked.n; i++) {
        const struct noticed_set *set = &sets->asked.at[i];

        if (set->n == n &&
            memcmp(set->causes, causes, n * sizeof *causes) == 0)
            return set->found;
    }
    return NULL;
}

const struct noticed_finding *noticed_sets_ask(struct noticed_sets *sets,
                                               const uint32_t *causes,
                                               uint32_t n)
{
    const struct noticed_finding *before = known(sets, causes, n);
    struct noticed_finding *found;

    if (before != NULL || sets->study->model->noticing.diagnostic == NULL)
        return before;
    found = ARENA_NEW(sets->study->arena, struct noticed_finding);
    noticed_ask(sets->study, sets->ends, causes, n, found);
    vec_push(&sets->asked, ((struct noticed_set){causes, n, found}));
    return found;
}

void noticed_sets_release(struct noticed_sets *sets)
{
    vec_release(&sets->asked);
}
