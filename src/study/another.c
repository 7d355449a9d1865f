#include "study/another.h"

#include "base/arena.h"
#include "base/cause_set.h"
#include "check/model.h"

/* Per cause that is allowed. */
static const struct noticed_finding *ask_all(struct study *study,
                                             struct dead_ends *ends,
                                             const bool *allowed)
{
    uint32_t n = study->model->n_causes;
    const struct noticed_finding **known = despite_noticed(study);
    struct noticed_finding *all = arena_array(study->arena, n + 1,
                                              sizeof *all);

    for (uint32_t i = 0; i < n; i++) {
        uint32_t *cause = ARENA_NEW(study->arena, uint32_t);

        *cause = i;
        if (allowed[i] && known[i] == NULL)
            noticed_ask(study, ends, cause, 1, &all[i]);
        else if (allowed[i])
            all[i] = *known[i];
        if (allowed[i] && known[i] == NULL && all[i].stop != STOP_SIGNAL)
            known[i] = &all[i];
    }
    return all;
}

/* ---- pairs ---- */

static bool is_unknown(const struct noticed_finding *finding)
{
    return finding->noticed == NOTICED_NOT_DECIDED ||
           finding->noticed == NOTICED_NOT_FINISHED;
}

static bool in_time(const struct noticed_finding *finding, bool perhaps)
{
    return finding->noticed == NOTICED_BEFORE_DEMAND ||
           (perhaps && is_unknown(finding));
}

/* Those that are noticed in time; their number. */
static uint32_t list(const struct study *study, const struct despite *despite,
                     bool perhaps, uint32_t *in)
{
    uint32_t n = 0;

    for (uint32_t i = 0; i < study->model->n_causes; i++)
        if (despite->allowed[i] && in_time(&despite->noticed[i], perhaps))
            in[n++] = i;
    return n;
}

/* All pairs in which both are. */
static const struct cause_set *pairs(struct study *study,
                                     const struct despite *despite,
                                     bool perhaps, uint32_t *n)
{
    uint32_t *in = arena_array(study->arena, study->model->n_causes + 1,
                               sizeof *in);
    uint32_t count = list(study, despite, perhaps, in);
    size_t most = (size_t)count * count;
    struct cause_set *sets = arena_array(study->arena, most, sizeof *sets);
    uint32_t *both = arena_array(study->arena, 2 * most, sizeof *both);

    *n = 0;
    for (uint32_t i = 0; i < count; i++)
        for (uint32_t k = i + 1; k < count; k++) {
            both[0] = in[i];
            both[1] = in[k];
            sets[(*n)++] = (struct cause_set){both, 2};
            both += 2;
        }
    return sets;
}

static void note_unknown(const struct study *study, struct despite *despite)
{
    for (uint32_t i = 0; i < study->model->n_causes; i++)
        if (despite->allowed[i] && is_unknown(&despite->noticed[i]) &&
            despite->unknown == STOP_NONE)
            despite->unknown = despite->noticed[i].stop;
}

const struct despite *another_despite(struct study *study,
                                      struct dead_ends *ends,
                                      uint32_t requirement)
{
    const struct despite *plain = despite_of(study, requirement);
    struct dead_ends own = {.without_sequences = true};
    struct despite *despite;

    if (!study->model->requirements[requirement].another ||
        despite_is_set(study, requirement))
        return plain;
    despite = ARENA_NEW(study->arena, struct despite);
    *despite = *plain;
    despite->noticed = ask_all(study, ends != NULL ? ends : &own,
                               despite->allowed);
    despite->forbidden = pairs(study, despite, false, &despite->n_forbidden);
    despite->perhaps = pairs(study, despite, true, &despite->n_perhaps);
    note_unknown(study, despite);
    if (despite->unknown != STOP_SIGNAL)
        despite_set(study, requirement, despite);
    dead_ends_release(&own);
    return despite;
}
